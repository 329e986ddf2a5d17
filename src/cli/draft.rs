//! Drafts of `open`: hidden files in which unsaved work is kept. An album with a file has one beside it; one
//! without a file has a name of its own until it is saved, so that two that are begun in one folder keep apart.

use super::claim::{Claimed, alone, is_own};
use super::disk;
use super::held::{hold, keep_alive, unfinished};
use crate::open::desk::Draft;
use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

/// Bytes of a draft: twice an album's text, and what JSON adds.
const MOST: u64 = 4_000_000;
/// How the names of albums without a file begin.
const NEW: &str = "new-album";
/// Drafts of these that are offered at once.
const MOST_OFFERED: usize = 8;

/// What another run left of an album without a file. As long as it is kept here no other run offers it.
pub(super) struct Left {
    name: String,
    draft: PathBuf,
    _claimed: Claimed,
}

/// A name for an album without a file that no other has.
pub(super) fn slot(folder: &Path) -> PathBuf {
    let mut bytes = [0; 4];
    // Without randomness the number of this run keeps it apart from those that run now.
    if getrandom::fill(&mut bytes).is_err() {
        bytes = std::process::id().to_be_bytes();
    }
    folder.join(format!("{NEW}-{:08x}", u32::from_be_bytes(bytes)))
}

/// Where the draft of an album lies.
pub(super) fn path_of(album: &Path) -> PathBuf {
    disk::hidden(album, "draft")
}

/// What is left in a folder of albums without a file, in the order of their names.
pub(super) fn left(folder: &Path) -> Vec<Left> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> = entries
        .filter_map(|entry| {
            let name = entry.file_name().into_string().ok()?;
            let name = name.strip_prefix('.')?.strip_suffix(".draft")?;
            name.starts_with(NEW).then(|| name.to_owned())
        })
        .collect();
    names.sort();
    let all = names.into_iter().filter_map(|name| {
        let album = folder.join(&name);
        let draft = path_of(&album);
        let _claimed = alone(&album)?;
        Some(Left {
            name,
            draft,
            _claimed,
        })
    });
    all.take(MOST_OFFERED).collect()
}

/// What is offered: the album's own draft, or those that others left.
pub(super) fn offered(own: &Path, left: &[Left]) -> Vec<Draft> {
    let of_others = left.iter().filter_map(|it| read(&it.draft, Some(&it.name)));
    read(own, None).into_iter().chain(of_others).collect()
}

/// A draft that was left is taken away.
pub(super) fn forget(left: &mut Vec<Left>, name: &str) {
    left.retain(|it| {
        if it.name == name {
            let _ = fs::remove_file(&it.draft);
        }
        it.name != name
    });
}

fn read(path: &Path, name: Option<&str>) -> Option<Draft> {
    // No link is followed, and nothing is read that is no file.
    let found = path.symlink_metadata().ok()?;
    if !found.is_file() || !is_own(&found) {
        return None;
    }
    let mut bytes = Vec::new();
    let file = disk::open(path).ok()?;
    file.take(MOST).read_to_end(&mut bytes).ok()?;
    let kept: serde_json::Value = serde_json::from_slice(&bytes).ok()?;
    Some(Draft {
        name: name.map(str::to_owned),
        text: kept.get("text")?.as_str()?.to_owned(),
        base: kept.get("base")?.as_str().map(str::to_owned),
    })
}

/// Keeps a draft. One that cannot be kept stops no work.
pub(super) fn keep(path: &Path, draft: &Draft) {
    let kept = serde_json::json!({ "base": draft.base, "text": draft.text });
    let _ = kept_secretly(path, kept.to_string().as_bytes());
}

/// Writes a file that only its owner reads, whole or not at all. A link in its place is replaced, not
/// followed.
fn kept_secretly(path: &Path, bytes: &[u8]) -> Option<()> {
    let folder = disk::parent(path);
    let held = hold(&folder).ok()?;
    let prefix = unfinished();
    // For its owner only.
    let mut file = tempfile::Builder::new()
        .prefix(&prefix)
        .tempfile_in(&folder)
        .ok()?;
    keep_alive(file.as_file());
    drop(held);
    file.write_all(bytes).ok()?;
    file.as_file().sync_all().ok()?;
    file.persist(path).ok().map(|_| ())
}
