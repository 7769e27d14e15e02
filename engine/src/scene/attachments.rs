//! Files a scene refers to. The engine opens none itself; whoever calls it does.

/// Gives the text of a file that a scene names, such as a directivity table.
pub trait Attachments {
    /// The text of the file `name`, as the scene writes it.
    ///
    /// # Errors
    /// In plain words, why the file cannot be had.
    fn read(&self, name: &str) -> Result<String, String>;
}

/// For scenes that stand on their own: every attachment is refused.
#[derive(Debug, Clone, Copy, Default)]
pub struct NoAttachments;

impl Attachments for NoAttachments {
    fn read(&self, _name: &str) -> Result<String, String> {
        Err("this scene is read on its own, without other files".to_owned())
    }
}
