//! The commands that the documents show, run as they stand there.

use crate::shown::{Block, blocks, command, documents_in, lay_out_scenes, text_of};
use crate::{earline, scenes_of};
use std::path::Path;

/// What `.ci/run` runs itself; the only lines of a console block that are not ours to run here.
const RUN_ELSEWHERE: [&str; 6] = [
    "cargo test",
    "EARLINE_RENEW_PICTURES=1 cargo test",
    "EARLINE_RENEW_LICENCES=1 cargo test",
    "cargo clippy",
    "cargo bench",
    "bash .ci/",
];

/// Kinds of blocks whose commands are run.
const RUN: [&str; 2] = ["console", "sh"];

/// Every document but the lessons, which are run by tests of their own.
fn documents() -> Vec<String> {
    [documents_in("."), documents_in("docs")].concat()
}

/// Commands in a document's console blocks and scripts, and in its running text, where it names a scene.
fn commands_in(document: &str) -> Vec<Vec<String>> {
    let text = text_of(document);
    let shown = blocks(&text).into_iter().filter(|block| RUN.contains(&block.kind.as_str()));
    let lines: Vec<String> = shown.flat_map(|block| lines_of(&block)).collect();
    lines.iter().map(String::as_str).chain(in_running_text(&text)).filter_map(command).collect()
}

/// The lines of a block, those joined that are one to a shell. What a queue of jobs counts is 1.
fn lines_of(block: &Block) -> Vec<String> {
    let joined = block.text.replace("\\\n", " ").replace("$SLURM_ARRAY_TASK_ID", "1");
    joined.lines().map(|line| line.trim().to_owned()).filter(|line| !line.is_empty()).collect()
}

/// What stands between single backticks and runs on a scene that is there.
fn in_running_text(text: &str) -> Vec<&str> {
    let spans = text.lines().filter(|line| !line.starts_with("```"));
    let spans = spans.flat_map(|line| line.split('`').skip(1).step_by(2));
    spans.filter(|span| span.contains(" scenes/")).collect()
}

#[test]
fn every_command_in_the_documents_runs() {
    let folder = tempfile::tempdir().unwrap();
    lay_out_scenes(folder.path());
    a_voice(&folder.path().join("voice.wav"));
    let documents = documents();
    let in_documents = documents.iter().flat_map(|document| commands_in(document));
    let mut done: Vec<Vec<String>> = Vec::new();
    // In the order of the pages: some go on from what the one before has written.
    for args in in_documents.chain(in_scenes()).map(cut_short) {
        if done.contains(&args) {
            continue;
        }
        let run = earline(folder.path()).args(&args).assert().success();
        assert!(!run.get_output().stdout.is_empty(), "{args:?}");
        done.push(args);
    }
    assert!(
        done.iter()
            .any(|args| args.starts_with(&["trace".to_owned(), "scenes/attic.toml".to_owned()]))
    );
    assert!(folder.path().join("earline-out/attic/plan.png").exists());
}

/// A full search, all rays and pixels take minutes; few of them read the same command.
fn cut_short(mut args: Vec<String>) -> Vec<String> {
    let draws = ["trace", "compare", "bass", "treat", "place"].contains(&args[0].as_str());
    let is_main_job = args == ["trace", "scenes/attic.toml"];
    if draws && !is_main_job && !args.contains(&"--json".to_owned()) {
        args.push("--no-png".to_owned());
    }
    let place_of = |option: &str| args.iter().position(|arg| arg.starts_with(option));
    let [option, few] = match args[0].as_str() {
        "place" => ["--layouts", "10"],
        "wave" => ["--slow", "20"],
        "trace" | "report" | "listen" => ["--rays", "256"],
        "sweep" if place_of("t20_s").is_some() => ["--rays", "256"],
        _ => return args,
    };
    match place_of(option) {
        Some(place) => few.clone_into(&mut args[place + 1]),
        None if place_of("--until").is_some() => {}
        None => args.extend([option, few].map(str::to_owned)),
    }
    args
}

/// Commands in the comments of scenes.
fn in_scenes() -> Vec<Vec<String>> {
    let paths = [scenes_of("scenes"), scenes_of("scenes/lessons")].concat();
    let texts: Vec<String> =
        paths.iter().map(|path| std::fs::read_to_string(path).unwrap()).collect();
    let comments = texts.iter().flat_map(|text| text.lines()).filter_map(|l| l.strip_prefix('#'));
    comments.filter_map(command).collect()
}

/// A command that no test would see: in a block of another kind, or with other words before it.
#[test]
fn no_command_of_a_document_goes_unrun() {
    for document in [documents(), documents_in("docs/lessons")].concat() {
        for block in blocks(&text_of(&document)) {
            for line in lines_of(&block) {
                let ours = command(&line).is_some();
                let elsewhere = RUN_ELSEWHERE.iter().any(|start| line.starts_with(start));
                match block.kind.as_str() {
                    "console" => assert!(ours || elsewhere, "{document}: who runs `{line}`?"),
                    kind => assert!(
                        !ours && !elsewhere || RUN.contains(&kind),
                        "{document}: in a block of `{kind}`: {line}"
                    ),
                }
            }
        }
    }
}

/// The pieces of scenes on the format page: each is right beside the complete one.
#[test]
fn every_piece_of_a_scene_in_the_documents_is_right() {
    let page = text_of("docs/scene-format.md");
    let of = |kind: &str| -> Vec<String> {
        blocks(&page).into_iter().filter(|b| b.kind == kind).map(|b| b.text).collect()
    };
    let (pieces, tables) = (of("toml"), of("text"));
    assert!(pieces[0].contains("[room]") && 4 <= pieces.len() && tables.len() == 1);
    let folder = tempfile::tempdir().unwrap();
    // What the page's states and its table speak of, and shows nowhere.
    let spoken_of = "[[panel]]\nname = \"p\"\nset = \"side panels\"\non = \"left\"\n\
         centre = [1.0, 1.2]\nsize = [0.6, 0.6]\nmaterial = \"painted brick\"\n\
         [[screen]]\nname = \"c\"\nset = \"cloud\"\ncentre = [1.5, 1.5, 2.2]\nsize = [1.2, 0.6]\n\
         facing = \"down\"\nmaterial = \"painted brick\"\n\
         [[speaker]]\nname = \"by table\"\nat = [0.6, 1.5, 1.2]\n\
         directivity = { kind = \"table\", file = \"table.csv\" }\n";
    std::fs::write(folder.path().join("table.csv"), &tables[0]).unwrap();
    std::fs::write(folder.path().join("all.toml"), pieces.join("\n") + "\n" + spoken_of).unwrap();
    earline(folder.path()).args(["check", "all.toml"]).assert().success();
}

/// The recording that the documents speak of: a second of a falling tone.
pub(crate) fn a_voice(path: &Path) {
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
