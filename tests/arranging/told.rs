//! What a maker reads: folders with broken pictures, lists without sizes, wishes that clash. No photo is
//! ever lost.

use crate::heads::{exif, heic, jpeg, png, webps};
use std::fs;
use std::path::Path;
use std::process::Command;

const ALBUM: &str = r#"
album = "Three leaves"
ruler = "1/8 in"
bag = [{ name = "small", size = "5 x 8 in", gusset = "3 in" }]
paper = [{ name = "card", size = "12 x 12 in" }]
print = [{ name = "postcard", size = "4 x 6 in" }]

[[leaf]]
name = "page"
bag = "small"
count = 3
insert = [
  { name = "photo_mat", place = "mouth", paper = "card", photo = { shape = "2:3" } },
  { name = "back_print", place = "back", paper = "card", photo = true },
]

[photos]
"#;

/// Exit code, answer and messages.
fn run(folder: &Path, photos: &str, more: &[&str]) -> (i32, String) {
    let album = folder.join("album.toml");
    fs::write(&album, format!("{ALBUM}{photos}")).expect("it is written");
    let mut command = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    let output = command.arg("arrange").arg(&album).args(more).output();
    let output = output.expect("the program runs");
    let text = [output.stdout, output.stderr].concat();
    let text = String::from_utf8(text).expect("text");
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    (output.status.code().unwrap_or(-1), text)
}

fn has(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "{part}\n{text}");
    }
}

#[test]
fn a_folder_of_pictures() {
    let folder = tempfile::tempdir().expect("a folder");
    let pictures = folder.path().join("pictures");
    fs::create_dir(&pictures).expect("a folder");
    let write = |name: &str, bytes: &[u8]| {
        fs::write(pictures.join(name), bytes).expect("it is written");
    };
    let day = |day: u32| exif(Some(6), &format!("2024:07:{day:02} 09:30:00"));
    write("IMG 3.JPG", &jpeg((3_000, 2_000), &day(3)));
    write(
        "a.webp",
        &webps((2_000, 3_000), &exif(None, "2024:07:01 10:00:00"))[0],
    );
    write("b.heic", &heic((3_000, 2_000), Some(1), None));
    write("c.png", &png((1_000, 1_000), &day(2)));
    write(
        "d.jpeg",
        &jpeg((600, 900), &exif(Some(9), "2024:07:04 00:00:00")),
    );
    write("broken.jpg", &jpeg((3_000, 2_000), &day(1))[..60]);
    write("empty.png", b"");
    write("renamed.jpg", b"no picture at all");
    write("notes.txt", b"read me");
    write(".hidden.jpg", b"thumbnails");
    let (code, text) = run(
        folder.path(),
        "folder = \"pictures\"\ncoarsest = 200\n",
        &[],
    );
    assert_eq!(code, 0, "{text}");
    // By date: a, c, IMG 3, d; then what has none.
    let order = ["a.webp", "c.png", "IMG 3.JPG", "d.jpeg", "b.heic"];
    let (_, table) = text.split_once("Where each photo goes").expect("a table");
    let at: Vec<Option<usize>> = order.iter().map(|name| table.find(name)).collect();
    assert!(at.is_sorted() && at[0].is_some(), "{at:?} {text}");
    has(
        &text,
        &[
            "5 photos in 6 places.",
            "(proved)",
            "broken.jpg: it ends before its size: it may be cut short.",
            "empty.png: it is no JPEG, PNG, WebP, HEIC or AVIF picture.",
            "renamed.jpg: it is no JPEG, PNG, WebP, HEIC or AVIF picture.",
            "1 photo without a date, so behind the others: b.heic.",
            "d.jpeg: its turn is 9, which is none; it counts as upright.",
            "they have fewer than 200 pixels an inch",
            // 600 and 900 pixels at 200 an inch.
            "enough for at most 3 x 4 1/2 in",
            "Places without a photo",
        ],
    );
    assert!(
        !text.contains("notes.txt") && !text.contains("hidden"),
        "{text}"
    );
}

#[test]
fn a_list_and_what_is_fixed_in_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let list = "name;width;height;camera\nquay;3000;2000;old\nboat;2000;3000;\nlamp;;;\nnet;900;1200;\nrope;1000;1000;\noar;1000;1000;\nbuoy;1000;1500;\ngull;10;15;\n";
    fs::write(folder.path().join("photos.csv"), list).expect("it is written");
    let all = ["quay", "boat", "lamp", "net", "rope", "oar", "buoy", "gull"];
    let list = "list = \"photos.csv\"\n";
    for wishes in [
        "",
        "order = \"free\"\n",
        "facing = [[\"boat\", \"rope\"]]\n",
        "order = \"free\"\nfacing = [[\"quay\", \"gull\"]]\nstays = { boat = \"Page 3, back print\" }\n",
        "most_cut = \"10 %\"\nfor = \"worst\"\n",
        "show = \"whole\"\ncoarsest = 150\n",
    ] {
        let (code, text) = run(folder.path(), &format!("{list}{wishes}"), &[]);
        assert_eq!(code, 0, "{text}");
        has(&text, &all);
        has(
            &text,
            &[
                "6 of 7 photos in 6 places.",
                "(proved)",
                "lamp: its list gives no size",
            ],
        );
        has(&text, &["there are 6 places for 7 photos"]);
        let (code, json) = run(folder.path(), &format!("{list}{wishes}"), &["--json"]);
        assert_eq!(code, 0);
        let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
        let named = |key: &str| json[key].as_array().expect("a list").len();
        assert_eq!(named("placed") + named("without_a_place"), all.len());
        assert_eq!(
            (json["proved"].as_bool(), json["exit"].as_i64()),
            (Some(true), Some(0))
        );
    }
}

#[test]
fn wishes_that_clash_are_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let list = "name,shape\na,2:3\nb,3:2\nc,1:1\n";
    fs::write(folder.path().join("photos.csv"), list).expect("it is written");
    let said = |wishes: &str| {
        run(
            folder.path(),
            &format!("list = \"photos.csv\"\n{wishes}"),
            &[],
        )
    };
    // The second photo cannot stand before the first.
    let stays = "stays = { a = \"page 3, photo mat\", b = \"page 1, back print\" }\n";
    let (code, text) = said(stays);
    assert_eq!(code, 1, "{text}");
    has(
        &text,
        &[
            "a at page 3, photo mat",
            "b at page 1, back print",
            "`order = \"free\"`",
        ],
    );
    let (code, text) = said(&format!("{stays}order = \"free\"\n"));
    assert_eq!(code, 0, "{text}");
    for (wishes, says) in [
        ("facing = [[\"a\", \"a\"]]\n", "`a` faces itself"),
        ("facing = [[\"a\", \"d\"]]\n", "no photo is named `d`"),
        ("facing = [[\"a\"]]\n", "photos face each other in twos"),
        ("stays = { a = \"page 4\" }\n", "`page 1, photo mat`"),
        ("stays = { a = 3 }\n", "stays"),
        ("most_cut = \"101 %\"\n", "more than all of a photo"),
        ("show = \"most\"\n", "`whole`"),
        ("coarsest = 0\n", "coarsest"),
        ("folder = \"pictures\"\n", "do not go together"),
        ("lsit = \"photos.csv\"\n", "lsit"),
    ] {
        let (code, text) = said(wishes);
        assert_eq!(code, 2, "{text}");
        has(&text, &[says]);
    }
}

#[test]
fn lists_and_folders_that_cannot_be_read() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("bare")).expect("a folder");
    for (photos, says) in [
        ("list = \"none.csv\"\n", "there is no such file"),
        ("folder = \"none\"\n", "there is no such folder"),
        ("folder = \"bare\"\n", "there are no pictures in it"),
        ("order = \"kept\"\n", "list"),
    ] {
        let (code, text) = run(folder.path(), photos, &[]);
        assert_eq!(code, 2, "{text}");
        has(&text, &[says]);
    }
    for (list, says) in [
        ("", "the list has no photos"),
        ("name,width,height\n", "the list has no photos"),
        ("width,height\n4,3\n", "there is no column `name`"),
        ("name,widht\na,3\n", "did you mean `width`"),
        (
            "name,width,width\na,3,4\n",
            "two columns are headed `width`",
        ),
        (
            "name,width,height\na,4,3\na,3,4\n",
            "two photos are named `a`",
        ),
        (
            "name,width,height\na,4,0\n",
            "`0` is not a number of pixels",
        ),
        (
            "name,width,height\na,4,-3\n",
            "`-3` is not a number of pixels",
        ),
        ("name,width,height\na,4,\n", "the line gives width alone"),
        ("name,shape\na,4/3\n", "`4/3` is not the shape of a photo"),
        ("name,shape\na,0:3\n", "`0:3` is not the shape of a photo"),
        ("name,shape\n\"a,4:3\n", "the closing quote is missing"),
        (
            "name,shape\na,4:3,5\n",
            "this line has 3 fields; the first line has 2",
        ),
        ("name,shape\n,4:3\n", "name"),
    ] {
        fs::write(folder.path().join("photos.csv"), list).expect("it is written");
        let (code, text) = run(folder.path(), "list = \"photos.csv\"\n", &[]);
        assert_eq!(code, 2, "{list} {text}");
        let (text, says) = (text.to_lowercase(), says.to_lowercase());
        has(&text, &[&says]);
    }
    let many: String = (0..501).map(|n| format!("p{n},4:3\n")).collect();
    fs::write(
        folder.path().join("photos.csv"),
        format!("name,shape\n{many}"),
    )
    .expect("written");
    let (code, text) = run(folder.path(), "list = \"photos.csv\"\n", &[]);
    assert_eq!(code, 2);
    has(&text, &["500"]);
}

/// Places that take the shape of their photo, by the full rules: what is to be typed gives that size.
#[test]
fn places_take_the_shape_of_their_photo() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = |photo: &str, photos: &str| {
        let text = format!(
            "album = \"One\"\nruler = \"1/8 in\"\nbag = [{{ name = \"wide\", size = \"8 x 10 in\", gusset = \"4 in\" }}]\n\
             leaf = [{{ name = \"page\", bag = \"wide\", insert = [{{ name = \"mat\", place = \"mouth\", photo = {photo} }}] }}]\n{photos}"
        );
        let path = folder.path().join("album.toml");
        fs::write(&path, text).expect("it is written");
        path
    };
    let run = |verb: &str, path: &Path| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
        let output = command.arg(verb).arg(path).arg("--json").output();
        let output = output.expect("the program runs");
        serde_json::from_slice::<serde_json::Value>(&output.stdout).expect("JSON")
    };
    let list = "[photos]\nlist = \"photos.csv\"\n";
    for (sides, typed) in [
        ("4032,3024", "{ shape = \"4:3\", lies = \"across\" }"),
        ("2000,3000", "{ shape = \"2:3\", lies = \"upright\" }"),
        ("500,500", "{ shape = \"1:1\" }"),
    ] {
        let photos = format!("name,width,height\nboat,{sides}\n");
        fs::write(folder.path().join("photos.csv"), photos).expect("it is written");
        let kept = run("arrange", &album("true", list));
        assert_ne!(kept["placed"][0]["seen"]["exact"], "1", "{sides}");
        let resized = run("arrange", &album("true", &format!("{list}resize = true\n")));
        let placed = &resized["placed"][0];
        assert_eq!(placed["seen"]["exact"], "1", "{placed}");
        assert_eq!(
            (&placed["resized"], &resized["verdict"]),
            (&true.into(), &"proved best".into())
        );
        let fit = run("arrange", &album(typed, list));
        for side in ["width", "height"] {
            assert_eq!(fit["placed"][0][side], placed[side], "{sides}");
        }
    }
}

/// What gains most is offered, and only what gains: photos of 3:2 in places of 2:3 lose 5/9 of themselves.
#[test]
fn what_would_lose_less_is_offered() {
    let folder = tempfile::tempdir().expect("a folder");
    let told = |photo: &str, photos: &str, list: &str| {
        fs::write(folder.path().join("photos.csv"), list).expect("it is written");
        let text = format!(
            "album = \"Fog\"\nruler = \"1/8 in\"\nbag = [{{ name = \"plain\", size = \"5 1/4 x 8 1/2 in\", gusset = \"3 in\" }}]\nprint = [{{ name = \"small\", size = \"4 x 6 in\" }}]\n\
             leaf = [{{ name = \"page\", bag = \"plain\", count = 2, insert = [{{ name = \"mat\", place = \"mouth\", grip = \"tab\", photo = {photo} }}] }}]\n[photos]\nlist = \"photos.csv\"\n{photos}"
        );
        let path = folder.path().join("album.toml");
        fs::write(&path, text).expect("it is written");
        let mut command = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
        let output = command.arg("arrange").arg(&path).output().expect("it runs");
        let text = String::from_utf8(output.stdout).expect("text");
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let upright = "{ print = \"small\", lies = \"upright\" }";
    let across = "name,width,height\na,6000,4000\nb,6000,4000\n";
    let said = told(upright, "", across);
    has(
        &said,
        &[
            "at most 55.6 % of one.",
            "Lay photos on their side: `turn = true` below `[photos]`. Then nothing is lost (arranged again).",
            "It is as large as its place: nothing to trim. 55.6 % of the photo is lost",
        ],
    );
    assert!(!said.contains("resize"), "{said}");
    // On their side nothing is lost, so that nothing else is offered.
    let turned = told(upright, "turn = true\n", across);
    assert!(!turned.contains("below `[photos]`"), "{turned}");
    // Two places alike; each takes its own shape only as a kind of its own.
    let mixed = "name,width,height\na,5000,4000\nb,4000,5000\n";
    let said = told("true", "turn = true\n", mixed);
    has(
        &said,
        &[
            "a `[[leaf]]` of its own",
            "`resize = true`",
            "Then nothing is lost",
        ],
    );
}

/// The first line says what the table's lines come to: their mean, and the largest of them.
#[test]
fn the_first_line_counts_as_its_lines_do() {
    let album = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/albums/low-water.toml");
    let mut command = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    let output = command.arg("arrange").arg(album).output();
    let text = String::from_utf8(output.expect("it runs").stdout).expect("text");
    let share = |text: &str| {
        let before = text.split(" %").next().unwrap_or("");
        let number = before.split_whitespace().last().unwrap_or("");
        number.parse::<f64>().expect(before)
    };
    let (first, rest) = text.split_once("Photos without").expect("a verdict");
    let (_, table) = rest.split_once("Where each photo goes").expect("a table");
    let (table, orders) = table.split_once("Order and trim").expect("orders");
    let lines = table.lines().filter(|line| line.contains(" %"));
    let lines: Vec<f64> = lines.map(share).collect();
    assert_eq!(lines.len(), 6, "{table}");
    let mean = lines.iter().sum::<f64>() / 6.0;
    assert!((share(first) - mean).abs() < 0.5, "{first} {mean}");
    let (_, most) = first.split_once("at most").expect("the most");
    let worst = lines.iter().copied().fold(0.0, f64::max);
    assert!((share(most) - worst).abs() < 0.05, "{first} {worst}");
    // Each line is what its print loses.
    let said = orders.split_whitespace().collect::<Vec<_>>().join(" ");
    for line in lines {
        assert!(
            said.contains(&format!("{line} % of the photo is lost")),
            "{line} {said}"
        );
    }
}

/// Mats of 4 7/8 in (5 in less 1/16 in at each side) on a bag of 5 x 8 in: its album's postcard print lies on the
/// back mat but for the print glued on that; beside the holes 4 in are left.
#[test]
fn mats_that_stay_empty_are_named() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("photos.csv"), "name,shape\nquay,3:2\n").expect("it is written");
    let (code, text) = run(folder.path(), "list = \"photos.csv\"\n", &["--time", "20"]);
    assert_eq!(code, 0, "{text}");
    let (_, mats) = text.split_once("Mats without a photo").expect("mats");
    has(
        mats,
        &[
            "so these stay empty",
            "(page), 4 7/8 x",
            "to order, as yours are too large: pocket mat (page), 4 7/8 x 2 7/8 in",
        ],
    );
}
