//! What a maker is told when a file is wrong: one folder a case, its files and the whole message.
//! The library and the program say the same.
//!
//! A folder holds `album.toml`, the files that it names, and `message.txt`. `UPDATE=1` writes the
//! messages anew. Cases that no folder can hold (very long, very deep) are made here; what they say
//! stands in a folder all the same.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use libtest_mimic::{Arguments, Failed, Trial};
use tuckwright::program::read_album;
use tuckwright::text::{Faults, Files, Look, decode, render};

fn main() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/errors");
    let mut trials = Vec::new();
    for folder in folders(&root) {
        let name = name_of(&folder);
        trials.push(Trial::test(name, move || {
            let bytes = album_bytes(&folder)?;
            check(&folder, bytes.clone())?;
            check_program(&folder, &bytes)
        }));
    }
    libtest_mimic::run(&Arguments::from_args(), trials).exit();
}

fn folders(root: &Path) -> Vec<PathBuf> {
    let mut folders: Vec<PathBuf> = fs::read_dir(root)
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.is_dir())
        .collect();
    folders.sort();
    folders
}

fn name_of(folder: &Path) -> String {
    folder
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}

/// The album of a case, or what is made here because no file should hold it.
fn album_bytes(folder: &Path) -> Result<Vec<u8>, Failed> {
    let long = |text: &str, times: usize| text.repeat(times).into_bytes();
    Ok(match name_of(folder).as_str() {
        "ten-megabytes" => long("# nothing\n", 1_000_000),
        "deep-nesting" => {
            let mut album = b"album = ".to_vec();
            album.extend(long("[", 500_000));
            album
        }
        "deep-dots" => {
            let mut album = long("a.", 500_000);
            album.extend(b"a = 1");
            album
        }
        "long-line" => {
            let mut album = b"album = \"".to_vec();
            album.extend(long("low water ", 100_000));
            album.extend(b"\" x\n");
            album
        }
        "not-utf-8" => b"album = \"Low water\"\nruler = \"1/8 \xe9\"\n".to_vec(),
        "control-characters" => b"album = \"a\x1b[31mb\"\nru\x00ler = 1\n".to_vec(),
        _ => fs::read(folder.join("album.toml"))?,
    })
}

fn check(folder: &Path, bytes: Vec<u8>) -> Result<(), Failed> {
    let message = message(folder, bytes);
    let path = folder.join("message.txt");
    if std::env::var_os("UPDATE").is_some() {
        fs::write(&path, &message)?;
        return Ok(());
    }
    let expected = fs::read_to_string(&path).unwrap_or_default();
    if message == expected {
        return Ok(());
    }
    Err(format!("expected:\n{expected}\ntold:\n{message}").into())
}

/// `tuckwright fit album.toml`, run in the folder: the same message, nothing else, exit 2.
fn check_program(folder: &Path, bytes: &[u8]) -> Result<(), Failed> {
    let made = tempfile::tempdir()?;
    let run_in = match folder.join("album.toml").is_file() {
        true => folder,
        false => {
            fs::write(made.path().join("album.toml"), bytes)?;
            made.path()
        }
    };
    let output = told_by_program(run_in)?;
    let told = String::from_utf8(output.stderr)?;
    let expected = fs::read_to_string(folder.join("message.txt"))?;
    match (
        output.status.code(),
        output.stdout.is_empty(),
        told == expected,
    ) {
        (Some(2), true, true) => Ok(()),
        _ => Err(format!(
            "exit {:?}, expected:\n{expected}\ntold:\n{told}",
            output.status
        )
        .into()),
    }
}

fn told_by_program(folder: &Path) -> std::io::Result<Output> {
    Command::new(env!("CARGO_BIN_EXE_tuckwright"))
        .args(["fit", "album.toml"])
        .current_dir(folder)
        .output()
}

fn message(folder: &Path, bytes: Vec<u8>) -> String {
    let mut files = Files::default();
    let album = match decode(&mut files, "album.toml", bytes) {
        Ok(album) => album,
        Err(fault) => {
            let faults: Faults = vec![Box::new(fault)];
            return render(&files, &faults, Look::Plain);
        }
    };
    let mut load = |path: &str| {
        let path = folder.join(path);
        // The words of an operating system differ, so the caller says the usual ones itself.
        if path.is_dir() {
            Err("it is a folder".to_owned())
        } else {
            fs::read(path).map_err(|_| "there is no such file".to_owned())
        }
    };
    match read_album(&mut files, album, &mut load) {
        // What is wrong lies beyond the album: its style, or names that the style does not know.
        Ok(_) => match told_by_program(folder) {
            Ok(output) => String::from_utf8_lossy(&output.stderr).into_owned(),
            Err(error) => error.to_string(),
        },
        Err(faults) => render(&files, &faults, Look::Plain),
    }
}
