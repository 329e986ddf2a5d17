//! `open`: the page in the browser. The files of one album, as its server asks for them.

use super::claim::{Claim, Claimed, claim};
use super::draft::{self, Left};
use super::output::{self, Kept};
use super::{DONE, Input, Stop, disk, interrupt};
use crate::album::Album;
use crate::open::desk::Draft;
use crate::open::{Desk, Event, SaveError, Setup, Stopper, serve};
use crate::plan::Plan;
use crate::report::handout::Section;
use crate::solve::Limits;
use crate::style::Style;
use crate::text::Files;
use clap::Args;
use std::fs;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::Duration;

#[derive(Debug, Args)]
pub(super) struct Open {
    /// An album file, or a folder with one [default: an empty album, to be saved in this folder]
    album: Option<PathBuf>,
    /// Print the address only
    #[arg(long)]
    no_browser: bool,
}

/// The step of the ruler of an album that is begun on the page.
const RULER: &str = "1/8 in";
/// How long the key in the address is good.
const KEY: Duration = Duration::from_secs(60);
/// How long an answer waits for the sizes; they follow if they take longer.
const PATIENCE: Duration = Duration::from_millis(150);
/// Letters of a file's name.
const LONGEST_NAME: usize = 60;

pub(super) fn open(verb: &Open) -> Result<u8, Stop> {
    let shelf = Arc::new(Shelf::find(verb.album.as_deref())?);
    let browser = !verb.no_browser;
    match claim(&shelf.path().unwrap_or_else(|| shelf.slot.clone())) {
        Claim::Served(address) => {
            let said = format!("This album is open already. The page is at {address}\n");
            output::to_screen(&said)?;
            if browser {
                browse(&address);
            }
            return Ok(DONE);
        }
        Claim::Silent => {
            return Err(Stop::Told(
                "another run of tuckwright has this album open and does not answer: end that one first"
                    .to_owned(),
            ));
        }
        Claim::Ours(claimed) => *locked(&shelf.claimed) = Some(claimed),
        Claim::Unknown => {}
    }
    let stop = Stopper::default();
    interrupt::on_stop({
        let stop = stop.clone();
        move || stop.stop()
    });
    let (desk, own) = (Arc::clone(&shelf), Arc::clone(&shelf));
    let setup = Setup {
        desk,
        ruler: RULER,
        key_life: KEY,
        patience: PATIENCE,
        stop,
    };
    let served = serve(setup, move |event| match event {
        Event::Listens {
            address,
            at,
            secret,
        } => {
            let _ = own.served.set((at, secret));
            own.say();
            let said = format!(
                "The page is at {address}\n\
                 That address is good once, for a minute. Stop with Ctrl-C, or with the button on the page.\n"
            );
            let _ = output::to_screen(&said);
            if browser {
                browse(&address);
            }
        }
        Event::Late { address } => {
            let said = format!(
                "The address was used a second time, or after its minute. If that was not you, somebody \
                 else on this machine tried it.\nHere is a new one: {address}\n"
            );
            let _ = output::to_screen(&said);
        }
    });
    served.map_err(|error| Stop::Told(format!("the page could not be opened: {error}")))?;
    // Before the last word: whoever reads it may begin anew.
    *locked(&shelf.claimed) = None;
    locked(&shelf.left).clear();
    let said = match shelf.draft_path().is_file() {
        true => "Stopped. What was not saved is kept, and offered when you open the album again.\n",
        false => "Stopped.\n",
    };
    output::to_screen(said)?;
    Ok(DONE)
}

/// Opens the browser, if there is one: the address was printed.
fn browse(address: &str) {
    let (program, before): (&str, &[&str]) = match std::env::consts::OS {
        "macos" => ("open", &[]),
        "windows" => ("cmd", &["/c", "start", ""]),
        _ => ("xdg-open", &[]),
    };
    let mut command = Command::new(program);
    command.args(before).arg(address);
    command
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    if let Ok(mut child) = command.spawn() {
        std::thread::spawn(move || child.wait());
    }
}

/// The album's file, and the folders from which it may read.
struct Shelf {
    folder: PathBuf,
    /// `None` if it was never saved.
    path: Mutex<Option<PathBuf>>,
    /// What an album without a file is called until then.
    slot: PathBuf,
    /// What other runs left of albums without a file.
    left: Mutex<Vec<Left>>,
    /// Keeps other runs off it.
    claimed: Mutex<Option<Claimed>>,
    /// Where the page is, and what another run gets a fresh address for.
    served: OnceLock<(SocketAddr, String)>,
    /// Without links.
    readable: Vec<PathBuf>,
}

impl Shelf {
    /// What was named on the command line.
    fn find(named: Option<&Path>) -> Result<Shelf, Stop> {
        let told = |path: &Path, why: &str| Stop::Told(format!("{}: {why}", path.display()));
        let Some(named) = named else {
            return Shelf::new(PathBuf::from("."), None);
        };
        if !named.is_dir() {
            if let Err(why) = disk::open(named) {
                return Err(told(named, &why));
            }
            return Shelf::new(disk::parent(named), Some(named.to_owned()));
        }
        let usual = named.join("album.toml");
        if usual.is_file() {
            return Shelf::new(named.to_owned(), Some(usual));
        }
        let mut albums = albums(named);
        albums.sort();
        match &albums[..] {
            [] => Shelf::new(named.to_owned(), None),
            [one] => Shelf::new(named.to_owned(), Some(one.clone())),
            several => {
                let names = several.iter().map(|path| path.display().to_string());
                let names: Vec<String> = names.collect();
                let names = crate::text::either(&names);
                let why = format!("there are several albums in it. Name one: {names}");
                Err(told(named, &why))
            }
        }
    }

    fn new(folder: PathBuf, path: Option<PathBuf>) -> Result<Shelf, Stop> {
        let told = |why: String| Stop::Told(format!("{}: {why}", folder.display()));
        let real = folder
            .canonicalize()
            .map_err(|e| told(output::reason(&e)))?;
        let mut readable = vec![real];
        // What the file names as it stands is its maker's; the page adds no other folder.
        let text = path.as_deref().and_then(|path| text_of(path).ok());
        let named = text.as_deref().map_or(Vec::new(), named_files);
        for file in named {
            let real = folder.join(file).canonicalize().ok();
            // A folder of photos is named itself.
            readable.extend(real.and_then(|real| match real.is_dir() {
                true => Some(real),
                false => Some(real.parent()?.to_owned()),
            }));
        }
        let (slot, left) = match path {
            None => (draft::slot(&folder), draft::left(&folder)),
            Some(_) => (PathBuf::new(), Vec::new()),
        };
        Ok(Shelf {
            folder,
            slot,
            left: Mutex::new(left),
            claimed: Mutex::new(None),
            served: OnceLock::new(),
            path: Mutex::new(path),
            readable,
        })
    }

    fn path(&self) -> Option<PathBuf> {
        locked(&self.path).clone()
    }

    /// Tells another run where the page is.
    fn say(&self) {
        if let (Some(claimed), Some((at, secret))) =
            (&mut *locked(&self.claimed), self.served.get())
        {
            claimed.say(*at, secret);
        }
    }

    /// The hidden file beside the album where unsaved work is kept.
    fn draft_path(&self) -> PathBuf {
        draft::path_of(&self.path().unwrap_or_else(|| self.slot.clone()))
    }
}

fn locked<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The text of an album's file.
fn text_of(path: &Path) -> Result<String, String> {
    let bytes = disk::bytes(path)?;
    if bytes.len() > crate::text::MOST_BYTES {
        return Err("it is too large for an album".to_owned());
    }
    let text = String::from_utf8(bytes).map_err(|_| "it is not text in UTF-8".to_owned())?;
    Ok(text.trim_start_matches('\u{feff}').to_owned())
}

/// The files that an album's text names, as it names them.
fn named_files(text: &str) -> Vec<String> {
    let Ok(table) = text.parse::<toml::Table>() else {
        return Vec::new();
    };
    let supplies = table.get("supplies").and_then(toml::Value::as_array);
    let supplies = supplies.into_iter().flatten();
    let photos = table.get("photos").and_then(toml::Value::as_table);
    let photos = ["list", "folder"].map(|key| photos?.get(key));
    let all = supplies.chain(table.get("style"));
    let all = all.chain(photos.into_iter().flatten());
    all.filter_map(toml::Value::as_str)
        .map(str::to_owned)
        .collect()
}

/// The albums in a folder.
fn albums(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let paths = entries.map(|entry| entry.path());
    let toml = paths.filter(|path| path.extension().is_some_and(|it| it == "toml"));
    let is_album = |path: &PathBuf| {
        let text = text_of(path).unwrap_or_default();
        text.parse::<toml::Table>()
            .is_ok_and(|table| table.contains_key("album"))
    };
    toml.filter(is_album).collect()
}

/// A name of a file made of what is typed.
fn file_name(typed: &str) -> Option<String> {
    let typed = typed.trim();
    let typed = typed.strip_suffix(".toml").unwrap_or(typed);
    let mut name = String::new();
    for sign in typed.chars().take(LONGEST_NAME) {
        match sign.is_alphanumeric() || sign == '_' {
            true => name.extend(sign.to_lowercase()),
            false if name.ends_with('-') => {}
            false => name.push('-'),
        }
    }
    let name = name.trim_matches('-');
    (!name.is_empty()).then(|| format!("{name}.toml"))
}

fn told(stop: Stop) -> SaveError {
    SaveError::Told(match stop {
        Stop::Told(why) | Stop::Undecided(why) | Stop::Usage(_, why) => why,
        Stop::Faults(..) | Stop::Interrupted | Stop::Answered(_) => {
            "it could not be written".to_owned()
        }
    })
}

impl Shelf {
    /// The album as it stands on the page, if its photos lie where they may be looked at.
    fn input(&self, album: &Album, style: &Style) -> Result<Input, String> {
        let photos = album.photos.as_ref();
        if let Some(said) = photos.and_then(|photos| photos.from.file()) {
            let path = &said.value;
            self.inside(path)
                .map_err(|why| format!("The photos `{path}`: {why}."))?;
        }
        Ok(Input {
            files: Files::default(),
            album: album.clone(),
            style: style.clone(),
        })
    }

    /// A file or a folder that may be read, without links.
    fn inside(&self, path: &str) -> Result<PathBuf, String> {
        let no_file = || "there is no such file".to_owned();
        let real = self.folder.join(path).canonicalize();
        let real = real.map_err(|_| no_file())?;
        let folder = real.parent().ok_or_else(no_file)?;
        let own = self.readable.first();
        let within = own.is_some_and(|own| real.starts_with(own));
        match within || self.readable.iter().any(|it| it == folder || *it == real) {
            true => Ok(real),
            false => Err("it lies outside the album's folder".to_owned()),
        }
    }
}

impl Desk for Shelf {
    fn name(&self) -> Option<String> {
        let path = self.path()?;
        Some(path.file_name()?.to_string_lossy().into_owned())
    }

    fn album(&self) -> Result<Option<String>, String> {
        let Some(path) = self.path() else {
            return Ok(None);
        };
        if path.symlink_metadata().is_err() {
            return Ok(None);
        }
        text_of(&path)
            .map(Some)
            .map_err(|why| format!("{}: {why}", path.display()))
    }

    fn load(&self, path: &str) -> Result<Vec<u8>, String> {
        disk::bytes(&self.inside(path)?)
    }

    fn arranged(
        &self,
        album: &Album,
        style: &Style,
        plan: &Plan,
        limits: &Limits,
    ) -> Result<Vec<Section>, String> {
        super::arrange::told(self.input(album, style)?, plan, &self.folder, limits)
    }

    fn standing(&self, album: &Album, style: &Style, plan: &mut Plan) -> Result<(), String> {
        let mut input = self.input(album, style)?;
        super::arrange::standing(&mut input, plan, &self.folder)
            .map_err(|_| "The photos could not be read.".to_owned())
    }

    fn save(&self, before: &str, after: &str) -> Result<(), SaveError> {
        let gone = || SaveError::Told("the album has no file yet".to_owned());
        let path = self.path().ok_or_else(gone)?;
        let mut file = Kept::over(&path).map_err(told)?;
        file.write(after.as_bytes()).map_err(told)?;
        match self.album() {
            Ok(Some(now)) if now == before => file.keep().map_err(told),
            Ok(now) => Err(SaveError::Changed(now)),
            Err(why) => Err(SaveError::Told(why)),
        }
    }

    fn save_as(&self, name: &str, text: &str) -> Result<(), SaveError> {
        let no_name = || SaveError::Told("type a name with a letter or a digit in it".to_owned());
        let name = file_name(name).ok_or_else(no_name)?;
        let path = self.folder.join(name);
        if path.symlink_metadata().is_ok() {
            return Err(SaveError::Taken);
        }
        let mut file = Kept::anew(&path).map_err(told)?;
        file.write(text.as_bytes()).map_err(told)?;
        file.keep().map_err(told)?;
        self.drop_draft(None);
        if let Claim::Ours(claimed) = claim(&path) {
            *locked(&self.claimed) = Some(claimed);
            self.say();
        }
        *locked(&self.path) = Some(path);
        Ok(())
    }

    fn drafts(&self) -> Vec<Draft> {
        draft::offered(&self.draft_path(), &locked(&self.left))
    }

    fn keep_draft(&self, draft: &Draft) {
        draft::keep(&self.draft_path(), draft);
    }

    fn drop_draft(&self, name: Option<&str>) {
        match name {
            None => drop(fs::remove_file(self.draft_path())),
            Some(name) => draft::forget(&mut locked(&self.left), name),
        }
    }
}
