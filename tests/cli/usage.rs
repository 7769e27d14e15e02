//! Help, completions, and what happens when the command line is wrong.

use crate::{earline, scene, stdout};

fn here() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

fn wrong(args: &[&str]) -> String {
    let folder = here();
    let output =
        earline(folder.path()).arg("trace").arg(scene("attic")).args(args).assert().code(2);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    assert!(output.get_output().stdout.is_empty());
    String::from_utf8(output.get_output().stderr.clone()).unwrap()
}

#[test]
fn help_shows_worked_examples() {
    let folder = here();
    for command in [vec!["--help"], vec!["trace", "--help"], vec!["check", "--help"], vec!["help"]]
    {
        let text = stdout(earline(folder.path()).args(command));
        assert!(text.contains("Examples:") && text.contains("scenes/attic.toml"), "{text}");
    }
}

#[test]
fn names_that_are_not_there_list_what_is() {
    for (args, near, all) in [
        (["--listener", "seatd"], "`seated`", "`standing`"),
        (["--speaker", "main lft"], "`main left`", "`main right`"),
        (["--variant", "treatd"], "`treated`", "`bare`"),
    ] {
        let message = wrong(&args);
        assert!(message.contains("did you mean") && message.contains(near), "{message}");
        assert!(message.contains(all), "{message}");
    }
}

#[test]
fn numbers_and_documents_out_of_range_are_refused() {
    for args in [
        ["--order", "9"],
        ["--order", "-1"],
        ["--window", "0"],
        ["--window", "nan"],
        ["--window", "501"],
        ["--limit", "nobody"],
        ["--criterion", "nobody"],
        ["--head", "-1"],
        ["--head", "1001"],
        ["--zone-hz", "0"],
        ["--zone-hz", "nan"],
        ["--threads", "0"],
        ["--rays", "-1"],
        ["--rays", "many"],
        ["--until", "0"],
        ["--until", "nan"],
        ["--seed", "-1"],
    ] {
        wrong(&args);
    }
    wrong(&["--json", "--out", "x"]);
}

#[test]
fn completions_and_manual_name_every_command() {
    let folder = here();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = stdout(earline(folder.path()).args(["completions", shell]));
        assert!(["check", "trace", "materials"].iter().all(|c| script.contains(c)), "{shell}");
    }
    assert!(stdout(earline(folder.path()).arg("manual")).starts_with(".ie"));
    assert!(stdout(earline(folder.path()).args(["manual", "trace"])).contains("window"));
    earline(folder.path()).args(["manual", "tracé"]).assert().code(2);
}

#[test]
fn strict_is_a_verdict() {
    let folder = here();
    earline(folder.path()).args(["check", "--strict"]).arg(scene("attic")).assert().code(0);
    earline(folder.path()).args(["check", "--strict"]).arg(scene("bedroom")).assert().code(3);
    earline(folder.path()).arg("check").arg(scene("bedroom")).assert().code(0);
}

#[test]
fn quiet_says_nothing_on_stderr() {
    let folder = here();
    let output = earline(folder.path())
        .args(["trace", "--quiet", "--order", "1", "--rays", "64", "--no-png"])
        .arg(scene("bedroom"))
        .assert()
        .success();
    assert!(output.get_output().stderr.is_empty());
}
