//! The commands that the documents show, run as they stand there.

use crate::{earline, scenes_of};
use std::collections::BTreeSet;
use std::path::Path;

/// Arguments of every `earline …` and `cargo run --release -- …` line in the fenced blocks of a
/// document, up to a pipe, a redirection or `&&`, which belong to the shell.
fn commands_in(document: &str) -> Vec<Vec<String>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(document);
    let text = std::fs::read_to_string(path).unwrap();
    let shown = text.split("```").skip(1).step_by(2).filter_map(|b| b.strip_prefix("console\n"));
    let found: Vec<Vec<String>> = shown
        .flat_map(str::lines)
        .filter_map(|line| {
            let line = line.split([';', '|', '>', '&', '#']).next().unwrap().trim();
            line.strip_prefix("cargo run --release -- ").or(line.strip_prefix("earline "))
        })
        .map(words)
        .collect();
    assert!(!found.is_empty(), "{document} shows no command");
    found
}

/// The words of a command as a shell splits them; what is in double quotes is one word.
fn words(args: &str) -> Vec<String> {
    let pieces = args.split('"').enumerate();
    let split = |(index, piece): (usize, &str)| -> Vec<String> {
        if index % 2 == 1 {
            return vec![piece.to_owned()];
        }
        piece.split_whitespace().map(str::to_owned).collect()
    };
    pieces.flat_map(split).collect()
}

#[test]
fn every_command_in_the_documents_runs() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("scenes")).unwrap();
    for scene in scenes_of("scenes") {
        let copy = folder.path().join("scenes").join(scene.file_name().unwrap());
        std::fs::copy(&scene, copy).unwrap();
    }
    a_voice(&folder.path().join("voice.wav"));
    let shown: BTreeSet<Vec<String>> =
        ["README.md", "docs/commands.md"].into_iter().flat_map(commands_in).collect();
    assert!(shown.iter().any(|args| args == &["trace", "scenes/attic.toml"]));
    for args in shown {
        let run = earline(folder.path()).args(&args).assert().success();
        assert!(!run.get_output().stdout.is_empty(), "{args:?}");
    }
    assert!(folder.path().join("earline-out/attic/plan.png").exists());
}

/// The recording that the documents speak of: a second of a falling tone.
fn a_voice(path: &Path) {
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 48_000,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut writer = hound::WavWriter::create(path, spec).unwrap();
    for sample in 0..48_000 {
        let time_s = f64::from(sample) / 48_000.0;
        let height = (-3.0 * time_s).exp() * (std::f64::consts::TAU * 220.0 * time_s).sin();
        #[expect(clippy::cast_possible_truncation, reason = "16 bits")]
        writer.write_sample((9_000.0 * height) as i16).unwrap();
    }
    writer.finalize().unwrap();
}
