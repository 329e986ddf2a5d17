//! Pages of a class: what whoever teaches does first stands first, and a student finds on a page what a step
//! of it speaks of. Common practice, no published source.

use std::fs;
use std::path::Path;
use std::process::Command;

/// One page: its words, and the names of what is drawn on it.
struct Page {
    words: String,
    texts: Vec<String>,
    names: Vec<String>,
}

/// Cards of three sizes: on a mat, cut down, and glued on the back.
const CLAY: &str = r#"album = "Clay evenings"
style = "upright"
ruler = "1/16 in"
supplies = ["shelf.toml"]
[template]
punch = "hand punch"
holes = 3
first = "1 9/16 in"
pitch = "3 1/16 in"
[[leaf]]
name = "front"
bag = "flour bag"
turned = true
front_mat = "oat card"
pocket_mat = "blue stripe"
back_mat = "blue stripe"
[[leaf]]
name = "bowl"
bag = "flour bag"
count = 3
front_mat = "blue stripe"
pocket_mat = "oat card"
back_mat = "blue stripe"
given = { "pocket_mat.height" = "2 3/4 in" }
[[leaf.insert]]
name = "photo_mat"
place = "mouth"
paper = "oat card"
grip = "tab"
photo = { print = "postcard" }
[[leaf.insert]]
name = "glaze"
place = "mouth"
paper = "oat card"
size = "3 1/2 x 5 in"
photo = { print = "snap" }
section = "back"
[[leaf.insert]]
name = "test_tile"
place = "back"
paper = "oat card"
photo = { print = "little print" }
"#;

const SHELF: &str = r#"[[bag]]
name = "flour bag"
size = "6 1/16 x 9 5/16 in"
gusset = "2 7/8 in"
pack = 25
price = "3.75"
[[paper]]
name = "blue stripe"
size = "12 x 12 in"
directed = true
price = "1.20"
[[paper]]
name = "oat card"
size = "8 1/2 x 11 in"
price = "0.25"
[[print]]
name = "postcard"
size = "4 x 6 in"
price = "0.25"
[[print]]
name = "little print"
size = "2 1/2 x 3 1/2 in"
price = "0.15"
[[print]]
name = "snap"
size = "3 1/2 x 5 in"
price = "0.20"
[[ring]]
name = "ring"
inside = "3/4 in"
wire = "3/32 in"
price = "0.35"
[[punch]]
name = "hand punch"
diameter = "3/16 in"
reach = "1 in"
takes = "0.1 in"
"#;

/// Every shipped album, and the one above, each in a file.
fn albums(folder: &Path) -> Vec<String> {
    let own = folder.join("clay.toml");
    fs::write(&own, CLAY).unwrap();
    fs::write(folder.join("shelf.toml"), SHELF).unwrap();
    let shipped = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/albums");
    let shipped = fs::read_dir(shipped).unwrap().map(|it| it.unwrap().path());
    let mut all: Vec<_> = shipped.chain([own]).collect();
    all.sort();
    all.iter()
        .map(|it| it.to_str().unwrap().to_owned())
        .collect()
}

/// Without what only a browser asks for.
fn read(said: &str) -> String {
    let plain = said
        .replace(['\u{a0}', '\u{202f}'], " ")
        .replace("–  ", "– ");
    plain.replace("&apos;", "'").replace("&#39;", "'")
}

fn pages(album: &str, more: &[&str]) -> Vec<Page> {
    let folder = tempfile::tempdir().unwrap();
    let mut program = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    program
        .args(["print", album, "--svg"])
        .arg(folder.path().join("p"));
    let done = program.args(more).output().unwrap();
    let told = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(0), "{album}: {told}");
    let files = fs::read_dir(folder.path().join("p")).unwrap();
    let mut files: Vec<_> = files.map(|it| it.unwrap().path()).collect();
    files.sort();
    let page = |path: &std::path::PathBuf| {
        let page = fs::read_to_string(path).unwrap();
        let texts = page.split("<text").skip(1).filter_map(|it| {
            let said = it.split_once('>')?.1.split_once("</text>")?.0;
            let plain = said.split('<').filter_map(|it| it.rsplit('>').next());
            Some(read(&plain.collect::<String>()))
        });
        let texts: Vec<String> = texts.collect();
        let names = page.split("data-name=\"").skip(1);
        let names = names.filter_map(|it| Some(it.split_once('"')?.0.to_owned()));
        Page {
            words: texts.join(" ").replace("  ", " "),
            texts,
            names: names.collect(),
        }
    };
    files.iter().map(page).collect()
}

const KIT: [&str; 5] = ["--kit", "--copies", "4", "--spare", "1"];

/// The pages of whoever teaches, and those of the students.
fn kit(album: &str) -> [Vec<Page>; 2] {
    let mut all = pages(album, &KIT);
    let first = all
        .iter()
        .position(|it| it.words.contains("For each student"));
    let own = all.split_off(first.expect("a student's page"));
    [all, own]
}

fn words(pages: &[Page]) -> String {
    let all: Vec<&str> = pages.iter().map(|it| it.words.as_str()).collect();
    all.join(" ")
}

fn clay(folder: &Path) -> String {
    let all = albums(folder);
    all.into_iter()
        .find(|it| it.ends_with("clay.toml"))
        .unwrap()
}

/// A step that says "drawn" means a drawing with measures on the same pages: of every photo on its mat, and of
/// the side on which the thing lies, under the name of that side.
#[test]
fn what_a_step_calls_drawn_is_drawn_on_its_pages() {
    let folder = tempfile::tempdir().unwrap();
    let mut seen = 0;
    for album in albums(folder.path()) {
        let own = [
            kit(&album).into_iter().nth(1).unwrap(),
            pages(&album, &["--handout"]),
        ];
        for pages in own {
            let said = words(&pages);
            for (at, word) in said.match_indices(" drawn") {
                let told = &said[..at + word.len()];
                assert!(shown(&pages, told), "{album}: {told}\n{said}");
                seen += 1;
            }
        }
    }
    assert!(seen > 12, "{seen}");
}

/// Whether what the last words of a text are about is drawn.
fn shown(pages: &[Page], told: &str) -> bool {
    let names = || pages.iter().flat_map(|it| &it.names);
    let behind = |mark: &str, thing: &str| {
        let name = thing.trim().to_lowercase().replace(' ', "_") + mark;
        let of = |it: &&String| {
            let part = it.split_once(": ").map(|(_, part)| part.to_lowercase());
            part.is_some_and(|part| part == name)
        };
        names().find(of)
    };
    let line = told.rsplit("– ").next().unwrap_or_default();
    if line.ends_with("on its mat as drawn") {
        let head = line.split(": ").next().unwrap_or_default();
        return behind(", photo", head.rsplit(", ").next().unwrap_or_default()).is_some();
    }
    let (thing, side) = match line.strip_suffix(" where it is drawn") {
        Some(head) => {
            let (thing, does) = head.rsplit_once(": ").expect("a thing");
            let thing = thing.rsplit([';', ':']).next().unwrap_or_default();
            (thing, does.rsplit(' ').next().unwrap_or_default())
        }
        None => {
            let named = line.strip_suffix(" is drawn").expect("a thing");
            (named.rsplit("where ").next().unwrap_or_default(), "")
        }
    };
    let Some(name) = behind("", thing) else {
        return false;
    };
    let leaf = name.split(": ").next().unwrap_or_default();
    let side = if side == "back" { side } else { "" };
    let title = format!("{leaf}, {side}").to_lowercase();
    let titled = |it: &String| {
        let it = it.to_lowercase();
        it.starts_with(&title) && it.len() < 40 && !it.contains(':')
    };
    pages.iter().flat_map(|it| &it.texts).any(titled)
}

/// What may hurt, once for whoever teaches and once for a student, wherever blades and punches are.
#[test]
fn cautions_stand_once_on_every_hand_s_pages() {
    let folder = tempfile::tempdir().unwrap();
    for album in albums(folder.path()) {
        let [teacher, student] = kit(&album);
        let handout = pages(&album, &["--handout"]);
        for pages in [&teacher, &student, &handout] {
            let said = words(pages);
            let times = said.matches("Cut away from your hand.").count();
            assert_eq!(times, 1, "{album}: {said}");
        }
        let said = words(&teacher);
        for tool in ["steel ruler to cut along", "a cutting mat"] {
            assert!(said.contains(tool), "{album}: {tool}\n{said}");
        }
    }
    let said = words(&kit(&clay(folder.path()))[1]);
    for caution in ["Fingers off punches", "not photo-safe"] {
        assert_eq!(said.matches(caution).count(), 1, "{caution}: {said}");
    }
}

fn numbered(said: &str, title: &str) -> bool {
    (1..20).any(|number| said.contains(&format!(" {number}. {title}")))
}

/// What is measured stands before what is cut; no number is missing, none stands before a smaller one.
#[test]
fn steps_stand_in_the_order_of_hands() {
    let folder = tempfile::tempdir().unwrap();
    for album in albums(folder.path()) {
        let [teacher, student] = kit(&album);
        let said = words(&teacher);
        if let Some(measure) = said.find("Measure a finished ") {
            assert!(
                measure < said.find("Cut before the class").unwrap(),
                "{said}"
            );
            assert!(!numbered(&said, "Measure a finished "), "{said}");
        }
        assert!(!numbered(&said, "Make the template"), "{said}");
        for pages in [student, pages(&album, &["--handout"])] {
            let bold = words(&pages);
            let words: Vec<&str> = bold.split(' ').collect();
            let heads = words.windows(2).filter_map(|pair| {
                let number = pair[0].strip_suffix('.')?.parse::<u32>().ok()?;
                pair[1].starts_with(char::is_uppercase).then_some(number)
            });
            let numbers: Vec<u32> = heads.collect();
            let wanted: Vec<u32> = (1..=numbers.len() as u32).collect();
            assert!(
                !numbers.is_empty() && numbers == wanted,
                "{album}: {numbers:?}\n{bold}"
            );
        }
    }
}

/// A print is named with its own size, once, and with the size to which it is trimmed: 3 1/2 x 5 in loses 1/8 in
/// at each side and 1/4 in at one end, so 3 1/4 x 4 3/4 in is left.
#[test]
fn a_kit_holds_prints_before_they_are_trimmed() {
    let folder = tempfile::tempdir().unwrap();
    let [_, student] = kit(&clay(folder.path()));
    let first = &student[0].words;
    let (_, below) = first.split_once("Your kit").expect("a heading");
    assert!(
        below.contains("3 1⁄2 × 5 in bowl: snap for glaze, trimmed to 3¼ × 4¾ in"),
        "{below}"
    );
    assert!(
        below.contains("4 × 6 in bowl: postcard for photo mat"),
        "{below}"
    );
    for name in ["snap", "postcard", "little print"] {
        assert_eq!(
            below.to_lowercase().matches(name).count(),
            1,
            "{name}: {below}"
        );
    }
}

/// Nobody is sent to a strip that is on no list: its size stands where it is asked for. Below the mouth
/// 8 13/16 - 5 in, 1/2 in above and 1/2 in glued: 4 13/16 in.
#[test]
fn a_pull_tab_that_is_made_of_leftovers_has_its_size() {
    let folder = tempfile::tempdir().unwrap();
    let said = words(&kit(&clay(folder.path()))[1]);
    assert!(
        said.contains("cut a pull tab from what is left over, ¾ in wide and 4 13⁄16 in long"),
        "{said}"
    );
}

/// One short line a piece.
#[test]
fn each_piece_has_its_own_line() {
    let folder = tempfile::tempdir().unwrap();
    let said = words(&kit(&clay(folder.path()))[1]);
    for line in [
        "– Every leaf: front mat, even at both sides",
        "– Every leaf: pocket mat on the pocket",
        "– Every leaf: back mat, even at both sides",
    ] {
        assert!(said.contains(line), "{line}: {said}");
    }
    assert!(
        said.contains("Now glue the pocket's sides there") && !said.contains("; then "),
        "{said}"
    );
}

/// The drawings carry the order of the cuts.
#[test]
fn nobody_types_what_is_drawn() {
    let folder = tempfile::tempdir().unwrap();
    let said = words(&kit(&clay(folder.path()))[0]);
    assert!(said.contains("How to cut the sheets"), "{said}");
    assert!(!said.contains("tuckwright cut"), "{said}");
}
