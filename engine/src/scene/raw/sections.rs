//! The sections of a scene: how each is written, and what people write for them.

use crate::scene::messages::nearest;

/// Sections of which there is one, and those that may come several times.
pub(super) const KEYS: &[&str] = &[
    "title",
    "units",
    "room",
    "air",
    "surfaces",
    "material",
    "speaker",
    "listener",
    "panel",
    "screen",
    "furniture",
    "variant",
    "keep_out",
    "keep_clear",
    "absorber",
    "model",
];

/// A key at the top of a scene as it is written there: `title`, `[room]` or `[[panel]]`.
pub(super) fn header(key: &str) -> String {
    match key {
        "title" | "units" => format!("`{key}`"),
        "room" | "air" | "surfaces" | "model" => format!("[{key}]"),
        _ => format!("[[{key}]]"),
    }
}

/// How a section that has to be there would look.
pub(super) fn example(key: &str) -> &'static str {
    match key {
        "room" => "[room]\nlength = \"5.80 m\"\nwidth = \"4.10 m\"\nheight = \"2.45 m\"",
        "surfaces" => {
            "[surfaces]\nfront = \"gypsum board on studs\"\nback = \"gypsum board on studs\"\n\
             left = \"gypsum board on studs\"\nright = \"gypsum board on studs\"\n\
             floor = \"wood floor on joists\"\nceiling = \"gypsum board on studs\""
        }
        "speaker" => {
            "[[speaker]]\nname = \"left\"\nat = [\"0.60 m\", \"1.12 m\", \"1.20 m\"]\naim = \"seated\"\n\
             directivity = { kind = \"piston\", diameter = \"130 mm\", cabinet = [\"300 mm\", \"190 mm\", \"240 mm\"] }"
        }
        _ => "[[listener]]\nname = \"seated\"\nat = [\"2.20 m\", \"2.05 m\", \"1.20 m\"]",
    }
}

/// Words of one meaning, the key that is meant, and how that is written.
type Meaning = (&'static [&'static str], &'static str, &'static str);

/// What people write at the top of a scene for something that goes by another name.
const MEANINGS: &[Meaning] = &[
    (
        &["window", "windows"],
        "panel",
        "a window is a [[panel]] of glass on a wall: name = \"window\", on = \"left\", centre, size and material = \"glass, ordinary window\"",
    ),
    (
        &["door", "doors"],
        "panel",
        "a door is a [[panel]] on a wall: name = \"door\", on = \"back\", centre, size and material = \"wood door, hollow core\"",
    ),
    (
        &["rug", "rugs", "carpet"],
        "panel",
        "a rug is a [[panel]] with on = \"floor\", centre, size and material = \"carpet, thin\"; a carpet from wall to wall is the floor under [surfaces]",
    ),
    (
        &["curtain", "curtains", "drape", "drapes"],
        "panel",
        "a curtain is a [[panel]] on its wall with material = \"curtains in folds against wall\", or a [[screen]] where it hangs clear",
    ),
    (
        &["cloud", "gobo", "baffle"],
        "screen",
        "what hangs or stands clear of the walls is a [[screen]]: name, centre, size, facing and material",
    ),
    (
        &["treatment", "trap", "bass_trap", "diffuser", "acoustic_panel"],
        "panel",
        "what is on a wall is a [[panel]]: name, on, centre, size and material; what could be bought is an [[absorber]]",
    ),
    (
        &[
            "sofa",
            "couch",
            "armchair",
            "chair",
            "bed",
            "desk",
            "table",
            "shelf",
            "shelves",
            "bookshelf",
            "bookcase",
            "rack",
            "wardrobe",
            "cupboard",
            "cabinet",
            "console",
            "person",
            "box",
        ],
        "furniture",
        "it is a piece of [[furniture]], a solid box: name, corner, size and material; a desk is best written as its top alone",
    ),
    (
        &["seat", "head", "ear", "ears", "position", "microphone", "mic"],
        "listener",
        "ears are a [[listener]]: name and at = [from front wall, from left wall, above floor]",
    ),
    (
        &["monitor", "monitors", "loudspeaker", "loudspeakers", "sub", "subwoofer", "source"],
        "speaker",
        "what plays is a [[speaker]]: name, at, aim and directivity; one that plays only the lowest notes has kind = \"subwoofer\"",
    ),
    (
        &["wall", "walls", "floor", "ceiling", "front", "back", "left", "right"],
        "surfaces",
        "what walls, floor and ceiling are made of goes under [surfaces], each on a line such as left = \"gypsum board on studs\"",
    ),
    (
        &["length", "width", "height", "size", "dimensions"],
        "room",
        "the size of the room goes under [room]: length, width and height",
    ),
    (
        &["temperature", "temperature_c", "humidity", "humidity_percent"],
        "air",
        "the air goes under [air]: temperature_c and humidity_percent",
    ),
    (
        &["state", "states"],
        "variant",
        "a state of the room is a [[variant]]: name and with = [sets that are in]",
    ),
];

/// The key that a word at the top seems to mean, and what to say of it.
pub(super) fn meant(written: &str) -> Option<(&'static str, String)> {
    let word = written.trim().to_lowercase().replace(['-', ' '], "_");
    let known = MEANINGS.iter().find(|(words, ..)| words.contains(&word.as_str()));
    if let Some((_, key, how)) = known {
        return Some((key, (*how).to_owned()));
    }
    let key = nearest(written, KEYS.iter().copied())?;
    let key = KEYS.iter().find(|known| **known == key)?;
    Some((key, format!("did you mean {}?", header(key))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_leads_to_a_section_and_is_none_itself() {
        for (words, key, how) in MEANINGS {
            assert!(KEYS.contains(key) && how.contains(&header(key)), "{how}");
            for word in *words {
                assert!(!KEYS.contains(word), "{word}");
                assert_eq!(meant(word).map(|(key, _)| key), Some(*key));
            }
        }
        assert_eq!(meant("Bass-Trap").map(|(key, _)| key), Some("panel"));
        assert_eq!(meant("listner").map(|(key, _)| key), Some("listener"));
        assert_eq!(meant("zeppelin"), None);
    }
}
