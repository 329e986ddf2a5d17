//! How an answer is written: on the screen, into files and folders, for other programs.

use super::*;
use std::fs;
use std::io::Read;
use std::path::Path;
use std::process::Stdio;

#[test]
fn no_line_is_wider_than_a_screen() {
    for arguments in [
        &["fit", LOW_WATER][..],
        &["fit", LOW_WATER, "--all"],
        &["fit", HUT_BOOK, "--all"],
        &["rules", HUT_BOOK],
        &["rules", "--names"],
        &[
            "fit",
            "--bag",
            "5 1/4 ± 1/64 in x 3 in x 7 5/8 ± 1/64 in",
            "--all",
        ],
    ] {
        for line in done(arguments).lines() {
            assert!(line.chars().count() <= 80, "{arguments:?}: {line}");
        }
    }
}

#[test]
fn without_a_terminal_there_is_no_colour() {
    let out = done(&["fit", LOW_WATER]);
    assert!(!out.contains('\u{1b}'));
    let forced = program(&["fit", LOW_WATER])
        .env("CLICOLOR_FORCE", "1")
        .output()
        .expect("it runs");
    let (forced, _) = told(&forced, 0);
    assert!(forced.contains('\u{1b}'));
    assert_eq!(anstream::adapter::strip_str(&forced).to_string(), out);
    let never = program(&["fit", LOW_WATER])
        .env("CLICOLOR_FORCE", "1")
        .env("NO_COLOR", "1")
        .output();
    assert_eq!(told(&never.expect("it runs"), 0).0, out);
}

#[test]
fn an_answer_is_written_whole_and_not_over_another() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("fit.txt");
    let name = path.to_str().expect("a name");
    assert_eq!(done(&["fit", LOW_WATER, "-o", name]), "");
    let written = fs::read_to_string(&path).expect("the answer");
    assert_eq!(written, done(&["fit", LOW_WATER]));
    let message = refused(&["rules", LOW_WATER, "-o", name]);
    assert!(message.contains("--force"), "{message}");
    assert_eq!(fs::read_to_string(&path).expect("the answer"), written);
    done(&["rules", LOW_WATER, "-o", name, "--force"]);
    assert_eq!(
        fs::read_to_string(&path).expect("the rules"),
        done(&["rules", LOW_WATER])
    );
    refused(&[
        "fit",
        LOW_WATER,
        "-o",
        folder.path().join("no/fit.txt").to_str().expect("a name"),
    ]);
    refused(&[
        "fit",
        LOW_WATER,
        "--force",
        "-o",
        folder.path().to_str().expect("a name"),
    ]);
    // What is wrong leaves nothing behind.
    let other = folder.path().join("other.txt");
    refused(&["fit", "no.toml", "-o", other.to_str().expect("a name")]);
    let left: Vec<_> = fs::read_dir(folder.path()).expect("a folder").collect();
    assert_eq!(left.len(), 1, "{left:?}");
}

#[cfg(unix)]
#[test]
fn a_written_file_can_be_read_like_any_other() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().expect("a folder");
    let [ours, usual] = ["ours", "usual"].map(|name| folder.path().join(name));
    done(&["fit", LOW_WATER, "-o", ours.to_str().expect("a name")]);
    fs::write(&usual, "").expect("a file");
    let mode = |path: &Path| fs::metadata(path).expect("a file").permissions().mode();
    assert_eq!(mode(&ours), mode(&usual));
}

#[test]
fn a_reader_that_stops_early_is_no_mistake() {
    let mut child = program(&["rules", LOW_WATER])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it runs");
    drop(child.stdout.take());
    let mut message = String::new();
    child
        .stderr
        .take()
        .expect("stderr")
        .read_to_string(&mut message)
        .expect("text");
    let code = child.wait().expect("it ends").code();
    assert_eq!((code, message.as_str()), (Some(0), ""));
}

#[test]
fn a_new_folder_is_worked_out_at_once() {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, flag, unit) in [("inch", None, "in"), ("metric", Some("--metric"), "mm")] {
        let dir = folder.path().join(name);
        let path = dir.to_str().expect("a name");
        let arguments: Vec<&str> = ["new", path].into_iter().chain(flag).collect();
        done(&arguments);
        let mut files: Vec<_> = fs::read_dir(&dir)
            .expect("a folder")
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .into_string()
                    .expect("a name")
            })
            .collect();
        files.sort();
        // Its photos stand beside an album that lists them.
        let photos = flag.is_none().then_some("photos.csv");
        let all = ["album.toml"].into_iter().chain(photos);
        assert_eq!(files, all.chain(["supplies.toml"]).collect::<Vec<_>>());
        let answer = json(&[
            "fit",
            "--json",
            dir.join("album.toml").to_str().expect("a name"),
        ]);
        assert_eq!(answer["unit"], unit);
        let before = fs::read(dir.join("album.toml")).expect("an album");
        assert!(refused(&arguments).contains("not empty"));
        assert_eq!(fs::read(dir.join("album.toml")).expect("an album"), before);
        let message = refused(&["fit", path]);
        assert!(message.contains("album.toml"), "{message}");
    }
    let empty = folder.path().join("empty");
    fs::create_dir(&empty).expect("a folder");
    done(&["new", empty.to_str().expect("a name")]);
    assert!(empty.join("album.toml").is_file());
    refused(&[
        "new",
        folder.path().join("no/deep").to_str().expect("a name"),
    ]);
    assert_eq!(fs::read_dir(folder.path()).expect("a folder").count(), 3);
}

#[test]
fn a_style_of_the_makers_own_lies_beside_the_album() {
    let folder = tempfile::tempdir().expect("a folder");
    let dir = folder.path().join("mine");
    done(&["new", dir.to_str().expect("a name")]);
    let path = dir.join("album.toml");
    let album = fs::read_to_string(&path).expect("an album");
    let album = album.replace("style = \"upright\"", "style = \"mine.toml\"");
    fs::write(&path, &album).expect("an album");
    let name = path.to_str().expect("a name");
    let message = refused(&["fit", name]);
    assert!(message.contains("there is no such file"), "{message}");
    let upright = fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("models/styles/upright.toml"),
    );
    let mine = upright
        .expect("a style")
        .replace("style = \"upright\"", "style = \"mine\"")
        .replace(
            "require = 'front_mat.width + 2 * side_reveal <= leaf.width'",
            "require = 'front_mat.width + 4 * side_reveal <= leaf.width'",
        );
    fs::write(dir.join("mine.toml"), &mine).expect("a style");
    let answer = json(&["fit", "--json", name]);
    assert_eq!(
        (
            &answer["style"],
            size(&answer, "shore", "front_mat.width").0
        ),
        (&Value::from("mine"), "5 in".to_owned())
    );
    fs::write(
        dir.join("mine.toml"),
        mine.replace("4 * side_reveal", "4 * side_revel"),
    )
    .expect("a style");
    let message = refused(&["fit", name]);
    assert!(
        message.contains("mine.toml, line ") && message.contains("side_revel"),
        "{message}"
    );
    fs::write(&path, album.replace("mine.toml", "uprihgt")).expect("an album");
    let message = refused(&["fit", name]);
    assert!(message.contains("Did you mean `upright`?"), "{message}");
}

#[test]
fn every_step_is_a_sound_model_file() {
    let stages = done(&["export", LOW_WATER, "--stages"]);
    let count = stages.lines().count();
    assert!(count > 20, "{stages}");
    for stage in ["0", "5", &(count - 1).to_string()] {
        let text = done(&["export", LOW_WATER, "--stage", stage]);
        let lines: Vec<&str> = text.lines().filter(|line| !line.starts_with('*')).collect();
        let at = |name: &str| {
            lines
                .iter()
                .position(|line| line.split_whitespace().next() == Some(name))
        };
        let order = ["NAME", "ROWS", "COLUMNS", "RHS", "BOUNDS", "ENDATA"].map(at);
        assert!(
            order.iter().all(Option::is_some) && order.is_sorted(),
            "{order:?}"
        );
        let [_, rows, columns, right, bounds, end] = order.map(|place| place.expect("a section"));
        let names: Vec<&str> = lines[rows + 1..columns]
            .iter()
            .filter_map(|l| l.split_whitespace().nth(1))
            .collect();
        assert_eq!(lines[rows + 1].split_whitespace().next(), Some("N"));
        for line in lines[columns + 1..right]
            .iter()
            .filter(|line| !line.contains("'MARKER'"))
        {
            let words: Vec<&str> = line.split_whitespace().collect();
            assert!(words.len() == 3 || words.len() == 5, "{line}");
            assert!(
                names.contains(&words[1]) && words[2].parse::<i64>().is_ok(),
                "{line}"
            );
        }
        for line in &lines[bounds + 1..end] {
            let words: Vec<&str> = line.split_whitespace().collect();
            assert!(
                matches!(words[0], "LO" | "UP" | "FX" | "BV" | "LI" | "UI"),
                "{line}"
            );
        }
        // Every column has its name in a remark.
        for line in lines[columns + 1..right]
            .iter()
            .filter(|line| !line.contains("'MARKER'"))
        {
            let code = line.split_whitespace().next().expect("a code");
            assert!(text.contains(&format!("* {code}: ")), "{code}");
        }
    }
    // Without a number: what the maker named first.
    let named = done(&["export", LOW_WATER]);
    assert!(
        named
            .lines()
            .take(3)
            .any(|line| line.contains("largest photo_mat.photo")),
        "{named}"
    );
}

/// What a page or its words say, in one line.
fn words_of(html: &std::path::Path) -> String {
    let page = fs::read_to_string(html).expect("a page");
    let apart = page.replace('<', " <");
    let mut words = String::new();
    for piece in apart.split('<') {
        words.push_str(piece.split_once('>').map_or("", |(_, text)| text));
    }
    line(&words)
}

#[test]
fn the_map_of_a_printout_names_the_photos() {
    let folder = tempfile::tempdir().expect("a folder");
    let page = folder.path().join("page.html");
    let html = page.display().to_string();
    let (_album, album) = shipped("low-water", &[]);
    done(&["print", &album, "--html", &html]);
    let said = words_of(&page);
    // As `arrange` has them: the shore's four, then the ledger's two.
    for words in [
        "Photo mat: pools at dawn.",
        "Photo mat: ada with a crab; starfish; the whole class (in this order).",
        "Back print: tide table.",
        "Back print: limpets.",
    ] {
        assert!(said.contains(words), "{words}\n{said}");
    }
    // Without the list the rest is printed, and what is missing is said.
    let (_album, album) = shipped("low-water", &[("photos/low-water.csv", "photos/none.csv")]);
    let printed = run(&["print", &album, "--html", &html, "--force"]);
    assert_eq!(printed.status.code(), Some(0));
    let told = String::from_utf8_lossy(&printed.stderr).into_owned();
    assert!(told.contains("line 88:"), "{told}");
    assert!(
        told.ends_with("The names of photos are left out of the printout.\n"),
        "{told}"
    );
    assert!(!words_of(&page).contains("starfish"));
}

#[test]
fn a_leaf_between_boards_is_no_cover_and_the_last_page_is_the_back() {
    let cloth = "[[paper]]\nname = \"book cloth\"";
    let photos =
        "[photos]\nphoto = [{ name = \"a\", size = \"4:6\" }, { name = \"b\", size = \"4:6\" }]\n";
    let (_folder, album) = shipped("harbour", &[(cloth, &format!("{photos}{cloth}"))]);
    let said = done(&["arrange", &album]);
    assert!(said.contains("Quay 1  first leaf        a"), "{said}");
    assert!(!said.contains("cover"), "{said}");
    let said = done(&["arrange", "models/albums/low-water.toml"]);
    assert!(
        said.contains("Ledger 2  back of the album  limpets"),
        "{said}"
    );
}
