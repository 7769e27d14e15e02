//! What must hold for every picture of every room.

use super::*;

/// Not for the repository: look at pictures.
#[test]
fn dev_write() {
    let Ok(dir) = std::env::var("PICS") else { return };
    for (i, input) in fixture::all().iter().enumerate() {
        for d in [plan(input), section(input), energy_time(input)] {
            let t = std::time::Instant::now();
            let p = render(&d).unwrap();
            eprintln!("{i} {} svg {} png {} {:?}", p.name, p.svg.len(), p.png.len(), t.elapsed());
            std::fs::write(format!("{dir}/{i}-{}.svg", p.name), &p.svg).unwrap();
            std::fs::write(format!("{dir}/{i}-{}.png", p.name), &p.png).unwrap();
        }
    }
}
