//! What stands in the way of the files is noticed before anything is computed: each of these runs would
//! else take minutes.

use crate::{contents, earline, scene};
use std::path::Path;

/// Every command that writes files of a scene, with so much to compute that nobody waits for it.
const WRITERS: [&[&str]; 10] = [
    &["tape"],
    &["trace", "--rays", "4000000", "--floor", "-100"],
    &["compare"],
    &["bass", "--to", "300"],
    &["treat", "--pieces", "24"],
    &["place", "--layouts", "1000000"],
    &["report", "--rays", "4000000"],
    &["listen", "--rays", "4000000"],
    &["wave", "--slow", "2000"],
    &["sweep", "--rays", "4000000", "--vary", "room.length=5..6:0.01"],
];

/// What a refused run says on stderr, with nothing on stdout.
fn refused(folder: &Path, args: &[&str], code: i32) -> String {
    let run = earline(folder).args(args).assert().code(code);
    assert!(run.get_output().stdout.is_empty(), "{args:?}");
    let message = String::from_utf8(run.get_output().stderr.clone()).unwrap();
    assert_eq!(message.matches("error:").count(), 1, "{message}");
    assert!(!message.contains(".part") && !message.contains(".earline"), "{message}");
    message
}

#[test]
fn a_file_where_the_folder_should_be() {
    let home = tempfile::tempdir().unwrap();
    std::fs::write(home.path().join("taken"), "mine").unwrap();
    let attic = scene("attic");
    let attic = attic.to_str().unwrap();
    for writer in WRITERS {
        for out in ["taken", "taken/below/it"] {
            let message = refused(home.path(), &[writer, &[attic, "--out", out]].concat(), 2);
            assert!(
                message.contains("`taken` is a file") && message.contains("--out"),
                "{message}"
            );
        }
    }
    let start = ["start", "--length", "5 m", "--width", "4 m", "--height", "2.5 m"];
    for file in ["taken/room.toml", "taken/below/room.toml"] {
        let message = refused(home.path(), &[&start[..], &[file]].concat(), 2);
        assert!(
            message.contains("`taken` is a file") && message.contains("room.toml"),
            "{message}"
        );
    }
    // Asked before a person answers any question.
    let message = refused(home.path(), &["start", "taken/room.toml"], 2);
    assert!(message.contains("`taken` is a file"), "{message}");
    assert_eq!(std::fs::read_to_string(home.path().join("taken")).unwrap(), "mine");
    assert_eq!(std::fs::read_dir(home.path()).unwrap().count(), 1);
}

#[test]
fn a_folder_that_cannot_be_made() {
    let home = tempfile::tempdir().unwrap();
    let attic = scene("attic");
    let attic = attic.to_str().unwrap();
    let long = "x".repeat(300);
    let trace = [WRITERS[1], &[attic, "--out"]].concat();
    let message = refused(home.path(), &[&trace[..], &[&long]].concat(), 2);
    assert!(message.contains("is no name for a folder"), "{message}");
    // Nobody, not even an administrator, makes a folder there.
    if cfg!(target_os = "linux") {
        let message = refused(home.path(), &[&trace[..], &["/proc/earline"]].concat(), 1);
        assert!(message.contains("cannot write into /proc/earline"), "{message}");
    }
    assert_eq!(std::fs::read_dir(home.path()).unwrap().count(), 0);
}

/// A folder where a file should be is seen only once the file's name is known; then none is written.
#[test]
fn a_folder_where_a_file_should_be() {
    let home = tempfile::tempdir().unwrap();
    std::fs::create_dir_all(home.path().join("out/tape.png")).unwrap();
    let attic = scene("attic");
    let message = refused(home.path(), &["tape", attic.to_str().unwrap(), "--out", "out"], 2);
    assert!(message.contains("tape.png: there is a folder of that name"), "{message}");
    assert_eq!(std::fs::read_dir(home.path().join("out")).unwrap().count(), 1);
}

/// What is written never takes the place of the scene it comes from, however it is called.
#[test]
fn the_scene_itself_is_spared() {
    let home = tempfile::tempdir().unwrap();
    std::fs::create_dir(home.path().join("sub")).unwrap();
    let text = std::fs::read(scene("attic")).unwrap();
    for (name, writer) in [
        ("treated.toml", WRITERS[4]),
        ("place-5.toml", WRITERS[5]),
        ("run-3.toml", &["sweep", "--vary", "room.length=5.8,5.9,6,6.1", "--take", "3"]),
    ] {
        std::fs::write(home.path().join(name), &text).unwrap();
        let args = [writer, &[name, "--out", "sub/.."]].concat();
        let message = refused(home.path(), &args, 2);
        assert!(message.contains(name) && message.contains("--out"), "{message}");
        std::fs::remove_file(home.path().join(name)).unwrap();
    }
    std::fs::remove_dir(home.path().join("sub")).unwrap();
    assert!(contents(home.path()).is_empty());
}

/// A recording that cannot be used, also for what is only known once all of it is read.
#[test]
fn a_recording_that_cannot_be_used() {
    let home = tempfile::tempdir().unwrap();
    std::fs::write(home.path().join("text.wav"), "no sound").unwrap();
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 48_000,
        bits_per_sample: 32,
        sample_format: hound::SampleFormat::Float,
    };
    let mut faint = hound::WavWriter::create(home.path().join("faint.wav"), spec).unwrap();
    (0_u8..250).cycle().take(48_000).for_each(|i| {
        let sample = if i % 100 < 50 { 1e-4 } else { -1e-4 };
        faint.write_sample(sample).unwrap();
    });
    faint.finalize().unwrap();
    let before = contents(home.path());
    let attic = scene("attic");
    for (file, says) in [
        ("missing.wav", "is not there"),
        ("text.wav", "is not a WAV file"),
        ("faint.wav", "too soft"),
    ] {
        let args = [WRITERS[7], &[attic.to_str().unwrap(), "--dry", file]].concat();
        let message = refused(home.path(), &args, 2);
        assert!(message.contains(says), "{message}");
    }
    assert_eq!(contents(home.path()), before);
}
