//! What the page asks of the disk. Whoever starts the server answers: no path comes from a browser.

use crate::album::Album;
use crate::plan::Plan;
use crate::report::handout::Section;
use crate::solve::Limits;
use crate::style::Style;
use std::sync::Arc;

/// The album's file, its draft, and the files that it names.
pub trait Desk: Send + Sync {
    /// What the album's file is called; `None` if it was never saved.
    fn name(&self) -> Option<String>;

    /// The text of the album's file as it stands now; `None` if there is no file yet.
    ///
    /// # Errors
    /// Why it cannot be read, as a sentence.
    fn album(&self) -> Result<Option<String>, String>;

    /// The bytes of a file by its path as the album says it.
    ///
    /// # Errors
    /// Why it cannot be read, or may not be.
    fn load(&self, path: &str) -> Result<Vec<u8>, String>;

    /// Which photo and which design of a paper stands where in an album that fits, its photos looked at where
    /// they lie.
    ///
    /// # Errors
    /// Why that cannot be said, as a sentence.
    fn arranged(
        &self,
        album: &Album,
        style: &Style,
        plan: &Plan,
        limits: &Limits,
    ) -> Result<Vec<Section>, String>;

    /// The same of photos alone, written into a plan that is printed.
    ///
    /// # Errors
    /// Why that cannot be said, as a sentence.
    fn standing(&self, album: &Album, style: &Style, plan: &mut Plan) -> Result<(), String>;

    /// Writes the album's file, whole or not at all, if it still has the text `before`.
    ///
    /// # Errors
    /// If it has another text by now, or cannot be written.
    fn save(&self, before: &str, after: &str) -> Result<(), SaveError>;

    /// Writes an album under a new name into the folder; that file is the album's from then on.
    ///
    /// # Errors
    /// If there is such a file, if it is no name of a file, or if it cannot be written.
    fn save_as(&self, name: &str, text: &str) -> Result<(), SaveError>;

    /// What earlier runs left unsaved: of an album with a file one at the most, of albums that never had a file
    /// each that no other run works on.
    fn drafts(&self) -> Vec<Draft>;

    /// Keeps what is not saved yet beside the album.
    fn keep_draft(&self, draft: &Draft);

    /// All is saved, or thrown away: of this album, or of a draft from an earlier run by its name.
    fn drop_draft(&self, name: Option<&str>);
}

/// Unsaved work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draft {
    /// By which it is dropped; `None` if it lies where this album keeps its own.
    pub name: Option<String>,
    pub text: String,
    /// The text of the file when the work began.
    pub base: Option<String>,
}

/// Why nothing was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SaveError {
    /// The file has another text by now; `None` if it is gone.
    Changed(Option<String>),
    /// There is such a file already.
    Taken,
    /// Anything else, as a sentence.
    Told(String),
}

/// What becomes of the draft.
pub enum Keep {
    Draft(Draft),
    Nothing,
    /// One of an earlier run is not needed any more.
    Without(String),
    /// Everything before it is done.
    Done(std::sync::mpsc::Sender<()>),
}

/// Keeps drafts one after the other, the newest only.
pub fn keeper(desk: Arc<dyn Desk>) -> std::sync::mpsc::Sender<Keep> {
    let (send, receive) = std::sync::mpsc::channel::<Keep>();
    std::thread::spawn(move || {
        while let Ok(first) = receive.recv() {
            let (mut done, mut without) = (Vec::new(), Vec::new());
            let mut newest = None;
            for keep in std::iter::once(first).chain(receive.try_iter()) {
                match keep {
                    Keep::Done(tell) => done.push(tell),
                    Keep::Without(name) => without.push(name),
                    other => newest = Some(other),
                }
            }
            match newest {
                Some(Keep::Draft(draft)) => desk.keep_draft(&draft),
                Some(Keep::Nothing) => desk.drop_draft(None),
                _ => {}
            }
            // What was taken from them is kept by now.
            for name in without {
                desk.drop_draft(Some(&name));
            }
            for tell in done {
                let _ = tell.send(());
            }
        }
    });
    send
}
