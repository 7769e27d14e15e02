//! A scene file from the disk: read with care, refused in one clear message.

use crate::format::foreign;
use crate::io::diagnose::{self, Look};
use earline_engine::scene::{Attachments, Parsed, Problem, Scene};
use std::collections::BTreeMap;
use std::fmt::Display;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// Largest scene or attachment read, in bytes. A scene with hundreds of panels has a tenth of it.
pub(crate) const SIZE_MAX: u64 = 1024 * 1024;

/// A scene and the text it came from.
#[derive(Debug)]
pub(crate) struct Loaded {
    /// The path as it was given.
    pub(crate) name: String,
    /// The text, for messages that point into it.
    pub(crate) text: String,
    /// The scene.
    pub(crate) scene: Scene,
    /// What is worth a look in it.
    pub(crate) warnings: Vec<Problem>,
    /// The files it may name, for reading a changed scene again.
    pub(crate) attachments: SceneFolder,
}

/// Why there is no scene.
#[derive(Debug)]
pub(crate) enum Refusal {
    /// The file itself cannot be read.
    File {
        /// What is wrong, with the path.
        message: String,
        /// A remedy.
        help: &'static str,
    },
    /// The text is not a scene.
    Scene {
        /// The path as it was given.
        name: String,
        /// The text.
        text: String,
        /// All that is wrong with it.
        problems: Vec<Problem>,
    },
}

impl Refusal {
    /// The whole message for a person.
    pub(crate) fn render(&self, look: Look) -> String {
        match self {
            Self::File { message, help } => diagnose::render_plain(message, help, look),
            Self::Scene { name, text, problems } => diagnose::render(name, text, problems, look),
        }
    }
}

/// Reads a scene; files it names are looked for beside it.
pub(crate) fn load(path: &Path) -> Result<Loaded, Refusal> {
    let name = foreign::path(path);
    let text = read_text(path).map_err(|trouble| Refusal::File {
        message: format!("`{name}` {trouble}"),
        help: trouble.help(),
    })?;
    let folder = path.parent().unwrap_or(Path::new("")).to_owned();
    let attachments = SceneFolder::new(folder);
    match Scene::parse(&text, &attachments) {
        Ok(Parsed { scene, warnings }) => Ok(Loaded { name, text, scene, warnings, attachments }),
        Err(problems) => Err(Refusal::Scene { name, text, problems }),
    }
}

/// Files beside the scene file. Each is read once: what a run computes with is what it writes.
#[derive(Debug)]
pub(crate) struct SceneFolder {
    folder: PathBuf,
    read: Mutex<BTreeMap<String, Result<String, String>>>,
}

impl SceneFolder {
    fn new(folder: PathBuf) -> Self {
        Self { folder, read: Mutex::default() }
    }
}

impl Attachments for SceneFolder {
    fn read(&self, name: &str) -> Result<String, String> {
        let mut read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
        let from_disk = || {
            let path = self.folder.join(name);
            read_text(&path).map_err(|trouble| format!("`{}` {trouble}", foreign::path(&path)))
        };
        read.entry(name.to_owned()).or_insert_with(from_disk).clone()
    }
}

/// Why a file gives no text. Reads on after the file's name.
#[derive(Debug)]
pub(super) enum Trouble {
    Missing,
    Folder,
    Special,
    TooLarge,
    Encoding(&'static str),
    Binary,
    NotUtf8 { line: usize },
    System(io::Error),
}

impl Display for Trouble {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Missing => f.write_str("is not there"),
            Self::Folder => f.write_str("is a folder, not a file"),
            Self::Special => f.write_str("is a pipe or a device, not a file"),
            Self::TooLarge => f.write_str("is larger than 1 MiB, which no scene needs"),
            Self::Encoding(encoding) => write!(f, "is saved as {encoding}"),
            Self::Binary => f.write_str("is not a text file"),
            Self::NotUtf8 { line } => {
                write!(f, "is not UTF-8 text: line {line} has other bytes in it")
            }
            Self::System(error) => write!(f, "cannot be read: {error}"),
        }
    }
}

impl Trouble {
    pub(super) fn help(&self) -> &'static str {
        match self {
            Self::Missing => {
                "check the spelling and the folder; `earline start` writes a first scene"
            }
            Self::Folder => "name the scene file inside it",
            Self::Special => "write its text into a file and name that",
            Self::TooLarge | Self::Binary => "give a scene file: a short text in TOML",
            Self::Encoding(_) | Self::NotUtf8 { .. } => {
                "save it again from your editor with the encoding UTF-8"
            }
            Self::System(_) => "check that you may read it",
        }
    }
}

fn read_text(path: &Path) -> Result<String, Trouble> {
    // Looked at before it is opened: a pipe would wait for a writer.
    let about = std::fs::metadata(path).map_err(trouble)?;
    if about.is_dir() {
        return Err(Trouble::Folder);
    }
    if !about.is_file() {
        return Err(Trouble::Special);
    }
    if about.len() > SIZE_MAX {
        return Err(Trouble::TooLarge);
    }
    let file = File::open(path).map_err(trouble)?;
    let mut bytes = Vec::new();
    // It may have grown since.
    file.take(SIZE_MAX + 1).read_to_end(&mut bytes).map_err(trouble)?;
    text_of(bytes)
}

fn trouble(error: io::Error) -> Trouble {
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory | io::ErrorKind::InvalidFilename => {
            Trouble::Missing
        }
        io::ErrorKind::IsADirectory => Trouble::Folder,
        _ => Trouble::System(error),
    }
}

/// Byte order marks of other encodings (Unicode Standard, chapter 23); the longer ones first, for one of
/// them begins like a shorter one.
const MARKS: [(&[u8], &str); 4] = [
    (&[0xff, 0xfe, 0, 0], "UTF-32"),
    (&[0, 0, 0xfe, 0xff], "UTF-32"),
    (&[0xff, 0xfe], "UTF-16"),
    (&[0xfe, 0xff], "UTF-16"),
];

pub(super) fn text_of(bytes: Vec<u8>) -> Result<String, Trouble> {
    if bytes.len() as u64 > SIZE_MAX {
        return Err(Trouble::TooLarge);
    }
    if let Some((_, encoding)) = MARKS.iter().find(|(mark, _)| bytes.starts_with(mark)) {
        return Err(Trouble::Encoding(encoding));
    }
    if bytes.contains(&0) {
        return Err(Trouble::Binary);
    }
    String::from_utf8(bytes).map_err(|error| {
        let before = error.as_bytes().get(..error.utf8_error().valid_up_to()).unwrap_or_default();
        Trouble::NotUtf8 { line: before.split(|&byte| byte == b'\n').count() }
    })
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

    use super::*;

    const PLAIN: Look = Look { colour: false, width: 100 };

    fn refusal(path: &Path) -> String {
        load(path).unwrap_err().render(PLAIN)
    }

    fn file_with(bytes: &[u8]) -> (tempfile::TempDir, PathBuf) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("scene.toml");
        std::fs::write(&path, bytes).unwrap();
        (folder, path)
    }

    #[test]
    fn a_demo_scene_loads() {
        let loaded =
            load(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes/attic.toml")).unwrap();
        assert_eq!(loaded.scene.title(), "Attic mixing room");
        assert!(
            loaded.name.ends_with("attic.toml")
                && loaded.text.starts_with('#')
                && loaded.warnings.is_empty()
        );
    }

    #[test]
    fn a_missing_file_and_a_folder_are_named() {
        let folder = tempfile::tempdir().unwrap();
        let missing = refusal(&folder.path().join("attik.toml"));
        assert!(
            missing.contains("attik.toml` is not there")
                && missing.contains("help: check the spelling"),
            "{missing}"
        );
        assert!(refusal(folder.path()).contains("is a folder"));
        assert!(refusal(Path::new("")).contains("is not there"));
    }

    #[test]
    fn bytes_that_are_no_text_are_refused() {
        for (bytes, message) in [
            (&b"title = \"a\"\n\0\0"[..], "is not a text file"),
            (b"\xff\xfet\0i\0", "saved as UTF-16"),
            (b"\xfe\xff\0t\0i", "saved as UTF-16"),
            (b"\xff\xfe\0\0t\0\0\0", "saved as UTF-32"),
            (b"\0\0\xfe\xff\0\0\0t", "saved as UTF-32"),
            (b"title = \"a\"\nb = \"Stra\xdfe\"\n", "line 2 has other bytes"),
        ] {
            let (_folder, path) = file_with(bytes);
            assert!(refusal(&path).contains(message), "{}", refusal(&path));
        }
    }

    #[test]
    fn a_hundred_megabytes_are_refused_unread() {
        let (_folder, path) = file_with(b"");
        File::options().write(true).open(&path).unwrap().set_len(100 * 1024 * 1024).unwrap();
        assert!(refusal(&path).contains("larger than 1 MiB"));
    }

    #[cfg(unix)]
    #[test]
    fn a_device_is_not_read() {
        assert!(refusal(Path::new("/dev/zero")).contains("is a pipe or a device"));
    }

    #[test]
    fn a_bad_scene_is_shown_with_its_place() {
        let (_folder, path) = file_with(b"[room]\nlenght = 3\n");
        let message = refusal(&path);
        assert!(
            message.contains("scene.toml:2:1") && message.contains("did you mean `length`"),
            "{message}"
        );
    }

    #[test]
    fn attachments_are_found_beside_the_scene() {
        let (folder, _path) = file_with(b"");
        std::fs::write(folder.path().join("a.csv"), "angle_deg").unwrap();
        let beside = SceneFolder::new(folder.path().to_owned());
        assert_eq!(beside.read("a.csv"), Ok("angle_deg".to_owned()));
        assert!(beside.read("b.csv").unwrap_err().contains("is not there"));
        std::fs::write(folder.path().join("a.csv"), "changed meanwhile").unwrap();
        assert_eq!(beside.read("a.csv"), Ok("angle_deg".to_owned()));
    }
}
