//! No file is lost: what a command reads it never writes over, folders are filled whole, and a run
//! that is killed leaves nothing half done.

use super::*;
use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::{FileTypeExt, symlink};
use std::path::{Path, PathBuf};
use std::process::Stdio;

const BAG: [&str; 2] = ["--bag", "5 1/8 x 8 1/2 in"];
/// Its template is longer than a page, so that there are more pages.
const OTHER: [&str; 2] = ["--bag", "10 x 15 in"];

/// An album with supplies, a style, a table of bags and a list of pieces of its own.
fn table() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let models = Path::new(env!("CARGO_MANIFEST_DIR")).join("models");
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).expect("a file");
    let read = |name: &str| fs::read_to_string(models.join(name)).expect("a model");
    let album = read("albums/low-water.toml")
        .replace("../supplies/seaside.toml", "supplies.toml")
        .replace("../photos/low-water.csv", "photos.csv")
        .replace("style = \"upright\"", "style = \"mine.toml\"");
    assert!(album.contains("mine.toml") && album.contains("\"supplies.toml\""));
    write("album.toml", &album);
    write("supplies.toml", &read("supplies/seaside.toml"));
    write("photos.csv", &read("photos/low-water.csv"));
    write("mine.toml", &read("styles/upright.toml"));
    write(
        "bags.csv",
        "name,width,gusset,height\nbrown,5 1/4 in,3 in,7 5/8 in\n",
    );
    write(
        "list.csv",
        "name,width,height,count,turn\ntag,2 in,4 in,3,yes\n",
    );
    folder
}

fn at(folder: &Path, name: &str) -> String {
    folder.join(name).to_str().expect("a name").to_owned()
}

/// Every file with what is in it.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let entries = fs::read_dir(folder).expect("a folder");
    let paths = entries.map(|entry| entry.expect("an entry").path());
    paths
        .filter(|path| path.is_file())
        .map(|path| (path.clone(), fs::read(path).expect("a file")))
        .collect()
}

fn refused_all(arguments: &[&[&str]], says: &str) {
    let err = refused(&arguments.concat());
    assert!(err.contains(says), "{arguments:?}: {err}");
}

#[test]
fn what_is_read_is_never_written_over() {
    let folder = table();
    let here = folder.path();
    let (album, bags, list) = (
        at(here, "album.toml"),
        at(here, "bags.csv"),
        at(here, "list.csv"),
    );
    symlink("supplies.toml", here.join("link.toml")).expect("a link");
    fs::hard_link(here.join("mine.toml"), here.join("twin.toml")).expect("a link");
    let before = files(here);
    let sideways = at(here, "../") + here.file_name().expect("a name").to_str().expect("a name");
    for target in [
        "album.toml",
        "supplies.toml",
        "mine.toml",
        "link.toml",
        "twin.toml",
    ] {
        let name = at(here, target);
        let crooked = format!("{sideways}/./{target}");
        let photo = ["--grow", "shore: photo_mat.photo.width"];
        let verbs: [&[&str]; 11] = [
            &["fit", &album],
            &["buy", &album],
            &["why", &album],
            &["why", &album, photo[0], photo[1]],
            &["rules", &album],
            &["export", &album],
            &["compare", &album, "--bags", &bags],
            &["cut", &album],
            &["arrange", &album],
            &["price", &album],
            &["print", &album],
        ];
        for verb in verbs {
            for path in [&name, &crooked] {
                refused_all(&[verb, &["--force", "-o", path]], "is read here");
            }
        }
        refused_all(
            &[&["print", &album, "--force", "--html", &name]],
            "is read here",
        );
        refused_all(
            &[&["cut", &album, "--force", "--offcuts", &name]],
            "is read here",
        );
        refused_all(
            &[&["compare", &album, "--force", "--svg", &name]],
            "is read here",
        );
    }
    let table = ["compare", &album, "--bags", &bags, "--force", "-o", &bags];
    refused_all(&[&table], "is read here");
    for kind in ["--pieces", "--fill"] {
        let asked = ["cut", kind, &list, "--sheet", "12 x 12 in", "--force"];
        refused_all(&[&asked, &["-o", &list]], "is read here");
    }
    assert_eq!(files(here), before);
}

#[test]
fn devices_pipes_and_folders_are_not_written_over() {
    let folder = tempfile::tempdir().expect("a folder");
    let pipe = at(folder.path(), "pipe");
    let made = Command::new("mkfifo").arg(&pipe).status().expect("mkfifo");
    assert!(made.success());
    let circle = at(folder.path(), "circle");
    symlink("circle", &circle).expect("a link");
    for target in ["/dev/null", &pipe, &circle] {
        let asked = ["-o", target, "--force"];
        refused_all(&[&["fit"], &BAG, &asked], "not a file");
    }
    let null = fs::metadata("/dev/null").expect("it is there");
    assert!(null.file_type().is_char_device());
    let name = at(folder.path(), "");
    refused_all(
        &[&["fit"], &BAG, &["-o", &name, "--force"]],
        "it is a folder",
    );
}

#[test]
fn a_pdf_has_the_name_of_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let name = at(folder.path(), "album.html");
    refused_all(&[&["print"], &BAG, &["-o", &name]], "`-o` writes a PDF");
    let left = fs::read_dir(folder.path()).expect("it can be read");
    assert_eq!(left.count(), 0);
}

#[test]
fn a_link_stays_and_its_target_changes() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().expect("a folder");
    let deep = folder.path().join("deep");
    fs::create_dir(&deep).expect("a folder");
    let link = at(folder.path(), "link.txt");
    symlink("deep/there.txt", &link).expect("a link");
    refused_all(&[&["fit"], &BAG, &["-o", &link]], "--force");
    // Nothing is there yet.
    let fit = [&["fit"], &BAG[..], &["-o", &link, "--force"]].concat();
    done(&fit);
    let there = deep.join("there.txt");
    assert_eq!(
        fs::read_to_string(&there).expect("the answer"),
        done(&[&["fit"], &BAG[..]].concat())
    );
    fs::write(&there, "old").expect("a file");
    fs::set_permissions(&there, fs::Permissions::from_mode(0o600)).expect("a file");
    done(&fit);
    assert!(
        fs::read_to_string(&there)
            .expect("the answer")
            .starts_with("One leaf")
    );
    assert_eq!(
        fs::metadata(&there).expect("a file").permissions().mode() & 0o777,
        0o600
    );
    assert!(fs::symlink_metadata(&link).expect("a link").is_symlink());
    assert_eq!(fs::read_dir(&deep).expect("a folder").count(), 1);
}

#[test]
fn two_targets_are_two_files() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    let [one, link, pages] = ["one", "link", "pages"].map(|name| at(here, name));
    symlink("one", &link).expect("a link");
    fs::create_dir(&pages).expect("a folder");
    let page = at(here, "pages/page-01.svg");
    let says = "would be one file";
    refused_all(
        &[&["print"], &BAG, &["--force", "-o", &one, "--html", &link]],
        says,
    );
    refused_all(
        &[&["print"], &BAG, &["--force", "-o", &page, "--svg", &pages]],
        says,
    );
    let list = at(here, "list.csv");
    fs::write(&list, "name,width,height,count\ntag,2 in,4 in,3\n").expect("a list");
    let cut = ["cut", "--pieces", &list, "--sheet", "12 x 12 in", "--force"];
    refused_all(&[&cut, &["-o", &one, "--offcuts", &link]], says);
    let sheet = at(here, "pages/01-sheet.svg");
    refused_all(&[&cut, &["-o", &sheet, "--svg", &pages]], says);
    assert_eq!(fs::read_dir(&pages).expect("a folder").count(), 0);
    assert!(fs::symlink_metadata(&one).is_err());
}

#[test]
fn pages_of_an_older_printout_go_and_nothing_else() {
    let folder = tempfile::tempdir().expect("a folder");
    for (kind, ending) in [("--svg", "svg"), ("--png", "png")] {
        let dir = folder.path().join(ending);
        let name = at(folder.path(), ending);
        let print = [&["print"], &BAG[..], &[kind, &name]].concat();
        done(&print);
        let pages = files(&dir);
        let page = |n: u32| dir.join(format!("page-{n:02}.{ending}"));
        let first = pages[&page(1)].clone();
        let mine: [(PathBuf, &[u8]); 4] = [
            (page(98), b"drawn by hand"),
            (dir.join(format!("page-7.{ending}")), &first),
            (dir.join(format!("page-98-mine.{ending}")), &first),
            (dir.join("notes.txt"), b"mine"),
        ];
        for (path, bytes) in &mine {
            fs::write(path, bytes).expect("a file");
        }
        symlink(page(98), page(97)).expect("a link");
        for old in [90, 99, 123] {
            fs::write(page(old), &first).expect("an older page");
        }
        refused_all(&[&print], "--force");
        assert!(page(99).is_file());
        done(&[&print[..], &["--force"]].concat());
        let mut expected = pages;
        expected.extend(mine.map(|(path, bytes)| (path, bytes.to_owned())));
        expected.insert(page(97), b"drawn by hand".to_vec());
        assert_eq!(files(&dir), expected, "{kind}");
    }
}

#[test]
fn sheets_of_an_older_cutting_plan_go() {
    let folder = tempfile::tempdir().expect("a folder");
    let [list, dir] = ["list.csv", "sheets"].map(|name| at(folder.path(), name));
    fs::write(
        &list,
        "name,width,height,count\ntag,7 in,7 in,3\nrag,8 in,8 in,1\n",
    )
    .expect("a list");
    let cut = [
        "cut",
        "--pieces",
        &list,
        "--sheet",
        "12 x 12 in",
        "--svg",
        &dir,
    ];
    done(&cut);
    let sheets = files(Path::new(&dir));
    let first = sheets.values().next().expect("a sheet").clone();
    fs::write(format!("{dir}/07-wave-print.svg"), &first).expect("an older sheet");
    fs::write(format!("{dir}/08-mine.svg"), "<svg/>").expect("a file");
    done(&[&cut[..], &["--force"]].concat());
    let mut expected = sheets;
    expected.insert(format!("{dir}/08-mine.svg").into(), b"<svg/>".to_vec());
    assert_eq!(files(Path::new(&dir)), expected);
}

#[test]
fn what_is_no_file_is_not_read() {
    let folder = table();
    let here = folder.path();
    let pipe = at(here, "pipe.csv");
    let made = Command::new("mkfifo").arg(&pipe).status().expect("mkfifo");
    assert!(made.success());
    let album = at(here, "album.toml");
    for path in ["/dev/zero", &pipe] {
        let says = "a device or a pipe";
        refused_all(&[&["fit", path]], says);
        refused_all(&[&["compare", &album, "--bags", path]], says);
        for kind in ["--pieces", "--fill"] {
            refused_all(&[&["cut", kind, path, "--sheet", "12 x 12 in"]], says);
        }
        let text = fs::read_to_string(&album).expect("an album");
        for named in ["\"supplies.toml\"", "\"mine.toml\""] {
            let other = at(here, "other.toml");
            fs::write(&other, text.replace(named, &format!("\"{path}\""))).expect("an album");
            refused_all(&[&["fit", &other]], says);
        }
    }
    for path in ["bags.toml", "bags.csv"] {
        fs::create_dir_all(here.join("dir").join(path)).expect("a folder");
        let path = at(here, &format!("dir/{path}"));
        refused_all(&[&["compare", &album, "--bags", &path]], "it is a folder");
    }
}

#[test]
fn a_line_without_an_end_is_refused() {
    let folder = table();
    let album = at(folder.path(), "album.toml");
    let long = at(folder.path(), "long.csv");
    let head = "name,width,height\n";
    // A row that is too long is left out, and the others are compared.
    let row = format!("{},5 in,8 in\n", "x".repeat(20_000));
    fs::write(&long, format!("{head}{row}brown,5 1/4 in,7 5/8 in\n")).expect("a table");
    let asked = ["compare", &album, "--bags", &long];
    let (out, err) = told(&run(&asked), 2);
    assert!(
        out.contains("brown") && err.contains("longer than 10000 bytes"),
        "{err}"
    );
    // No row of a table is as long as this one, which might not end at all.
    let line = vec![b'x'; 3_000_000];
    fs::write(&long, [head.as_bytes(), &line].concat()).expect("a table");
    refused_all(&[&asked], "a line is longer than 1000000 bytes");
    fs::write(&long, &line).expect("a table");
    refused_all(&[&asked], "a line is longer than 1000000 bytes");
}

/// Both printouts, each in a folder of its own.
fn both(folder: &Path) -> [BTreeMap<String, Vec<u8>>; 2] {
    let print = |(bag, name): (&[&str], &str)| {
        let dir = at(folder, name);
        done(&[&["print"], bag, &["--svg", &dir]].concat());
        named(Path::new(&dir))
    };
    [(&BAG[..], "one"), (&OTHER[..], "other")].map(print)
}

fn named(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let name = |path: PathBuf| {
        path.file_name()
            .expect("a name")
            .to_str()
            .expect("text")
            .to_owned()
    };
    files(folder)
        .into_iter()
        .map(|(path, bytes)| (name(path), bytes))
        .collect()
}

#[test]
fn of_two_runs_into_one_folder_one_wins_whole() {
    let folder = tempfile::tempdir().expect("a folder");
    let both = both(folder.path());
    assert_ne!(both[0].len(), both[1].len());
    let dir = at(folder.path(), "shared");
    for _ in 0..3 {
        let bags = [BAG, OTHER, BAG, OTHER];
        let runs = bags.map(|bag| {
            let mut print = program(&[&["print"], &bag[..], &["--svg", &dir, "--force"]].concat());
            print.stdout(Stdio::null()).spawn().expect("it runs")
        });
        for mut run in runs {
            assert!(run.wait().expect("it ends").success());
        }
        let found = named(Path::new(&dir));
        assert!(both.contains(&found), "{:?}", found.keys());
    }
    assert_eq!(fs::read_dir(folder.path()).expect("a folder").count(), 3);
}

#[test]
fn a_killed_run_leaves_the_old_or_the_new() {
    let folder = tempfile::tempdir().expect("a folder");
    let both = both(folder.path());
    let dir = at(folder.path(), "one");
    let unfinished = || {
        let entries = fs::read_dir(&dir).expect("a folder");
        let names = entries.map(|entry| entry.expect("an entry").file_name());
        names
            .filter(|name| name.to_string_lossy().starts_with('.'))
            .count()
    };
    for kind in ["--svg", "-o"] {
        let target = match kind {
            "--svg" => dir.clone(),
            _ => at(Path::new(&dir), "notes.pdf"),
        };
        let print = [&["print"], &OTHER[..], &[kind, &target, "--force"]].concat();
        let mut run = program(&print)
            .stdout(Stdio::null())
            .spawn()
            .expect("it runs");
        // It is killed as soon as it writes; where that is missed, it is done.
        while unfinished() == 0 && run.try_wait().expect("it runs").is_none() {}
        run.kill().expect("it is killed");
        run.wait().expect("it ends");
        let mut found = named(Path::new(&dir));
        found.retain(|name, _| name.ends_with(".svg"));
        // Killed between two pages, the next run finishes what is ready.
        let ready = Path::new(&dir).join(".tuckwright-ready").exists();
        assert!(ready || both.contains(&found), "{:?}", found.keys());
        done(&print);
        assert_eq!(unfinished(), 0);
    }
    let mut found = named(Path::new(&dir));
    assert!(found.remove("notes.pdf").is_some());
    assert_eq!(found, both[1]);
}

#[test]
fn what_was_half_in_its_place_is_finished_by_the_next_run() {
    let folder = tempfile::tempdir().expect("a folder");
    let dir = folder.path().join("pages");
    let ready = dir.join(".tuckwright-ready");
    fs::create_dir_all(&ready).expect("a folder");
    let write = |path: PathBuf, text: &str| fs::write(path, text).expect("a file");
    write(dir.join("page-01.svg"), "new");
    write(dir.join("page-02.svg"), "old");
    write(dir.join("page-03.svg"), "old");
    write(ready.join("page-02.svg"), "new");
    write(ready.join(".gone"), "page-03.svg\n../list.csv");
    write(
        folder.path().join("list.csv"),
        "name,width,height,count\ntag,7 in,7 in,1\n",
    );
    // What an earlier run left, and what is not ours.
    write(dir.join(".tuckwright-1-abc"), "half");
    write(dir.join(".hidden"), "mine");
    let name = at(folder.path(), "pages");
    let list = at(folder.path(), "list.csv");
    done(&[
        "cut",
        "--pieces",
        &list,
        "--sheet",
        "12 x 12 in",
        "--svg",
        &name,
    ]);
    let found = named(&dir);
    let names: Vec<&str> = found.keys().map(String::as_str).collect();
    assert_eq!(
        names,
        [".hidden", "01-sheet.svg", "page-01.svg", "page-02.svg"]
    );
    assert_eq!(found["page-02.svg"], b"new");
    assert!(!ready.exists() && Path::new(&list).is_file());
}
