//! `buy` as a maker runs it: for a class, with packs, and what is there afterwards.

use super::{LOW_WATER, done, line, refused, run, told};
use serde_json::Value;
use std::fs;
use std::path::Path;

/// An album whose parts may come from two papers, with prices of all it needs.
fn written(folder: &Path, packs: &str) -> String {
    let album = r#"album = "Two sizes"
ruler = "1/8 in"
supplies = ["supplies.toml"]
[template]
ring = "ring"
[[leaf]]
name = "page"
bag = "small"
count = 4
front_mat = ["large", "letter"]
pocket_mat = ["large", "letter"]
back_mat = ["large", "letter"]
"#;
    let supplies = format!(
        r#"# What lies on the table.
[[bag]]
name = "small"            # from the market
size = "5 1/4 x 7 5/8 in"
gusset = "3 in"
count = 3
pack = 25
price = "3.00"
[[paper]]
name = "large"
size = "12 x 12 in"
sheets = 1
price = 0.90
[[paper]]
name = "letter"
size = "8 1/2 x 11 in"
price = "0.45"
[[offcut]]
paper = "large"
size = "6 x 12 in"
[[ring]]
name = "ring"
inside = "1 in"
count = 2
price = "0.45"
{packs}"#
    );
    fs::write(folder.join("supplies.toml"), supplies).expect("written");
    let path = folder.join("album.toml");
    fs::write(&path, album).expect("written");
    path.to_str().expect("a name").to_owned()
}

fn json(arguments: &[&str]) -> Value {
    let mut all = arguments.to_vec();
    all.push("--json");
    serde_json::from_str(&done(&all)).expect("JSON")
}

fn bought(answer: &Value) -> Vec<(String, u64)> {
    let things = answer["supplies"].as_array().expect("supplies").iter();
    let things = things.filter(|it| it["bought"] != 0);
    things
        .map(|it| {
            (
                it["name"].as_str().expect("a name").to_owned(),
                it["bought"].as_u64().expect("a number"),
            )
        })
        .collect()
}

/// Every count of a class of twelve and one spare copy, worked by hand from one copy.
#[test]
fn a_class_of_thirteen() {
    let answer = json(&["buy", LOW_WATER, "--copies", "12", "--spare", "1"]);
    assert_eq!(
        (&answer["verdict"], &answer["exit"]),
        (&Value::from("proved"), &Value::from(0))
    );
    let of = |name: &str| {
        let things = answer["supplies"].as_array().expect("supplies").iter();
        let mut found = things.filter(|it| it["name"] == name);
        let it = found.next().expect("it is used").clone();
        ["used", "at_home", "bought", "left"].map(|key| it[key].as_u64().expect("a number"))
    };
    assert_eq!(of("small brown"), [65, 0, 100, 35]);
    assert_eq!(of("lunch brown"), [26, 0, 50, 24]);
    assert_eq!(of("postcard print"), [78, 8, 70, 0]);
    assert_eq!(of("tide table"), [13, 12, 1, 0]);
    assert_eq!(of("one inch ring"), [39, 6, 33, 0]);
    let sheets = ["sand plain", "wave print", "shell card"].map(of);
    // Two packs of bags and one of the other, prints, a card, rings; then the sheets that are missing.
    let others = 2 * 360 + 420 + 70 * 25 + 5 + 33 * 45;
    let sheets = sheets[0][2] * 80 + sheets[1][2] * 110 + sheets[2][2] * 90;
    let price = answer["price"].as_str().expect("a price").replace('.', "");
    assert_eq!(price.parse(), Ok(others + sheets));
}

/// A pack of several things is taken where it is cheaper, as often as it can be bought.
#[test]
fn packs_of_several_things() {
    let folder = tempfile::tempdir().expect("a folder");
    let pack = "[[pack]]\nof = { small = 4, ring = 3 }\nprice = \"1.20\"\nmost = 1\n";
    let album = written(folder.path(), pack);
    let answer = json(&["buy", &album, "--copies", "2"]);
    // Without it four rings cost 1.80 beside the pack of 25 bags; with it one ring more, 1.65 in all.
    let packs = answer["packs"].as_array().expect("packs");
    assert_eq!(
        packs
            .iter()
            .filter(|it| it["of"].as_array().is_some_and(|of| of.len() == 2))
            .count(),
        1
    );
    let text = done(&["buy", &album, "--copies", "2"]);
    assert!(
        text.contains("1 pack of 4 of small and 3 of ring: 1.20."),
        "{text}"
    );
}

/// Of two papers the cheaper sheets are bought, and the plan from them is the one that `cut` shows.
#[test]
fn the_cheapest_sheets_are_cut() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = written(folder.path(), "");
    let answer = json(&["buy", &album]);
    assert_eq!(answer["proved"], true);
    let plan: Value =
        serde_json::from_str(&done(&["cut", &album, "--cheapest", "--json"])).expect("JSON");
    let cut = |paper: &str| {
        let sheets = plan["sheets"].as_array().expect("sheets").iter();
        sheets
            .filter(|sheet| sheet["paper"] == paper && sheet["offcut"] != true)
            .count() as u64
    };
    for thing in answer["supplies"].as_array().expect("supplies") {
        if thing["kind"] == "paper" {
            let name = thing["name"].as_str().expect("a name");
            assert_eq!(Some(cut(name)), thing["used"].as_u64(), "{name}");
        }
    }
    let text = done(&["cut", &album, "--cheapest"]);
    assert!(
        text.contains("No other choice costs less (proved)."),
        "{text}"
    );
}

/// The file of supplies afterwards keeps its comments, and the next album starts from it.
#[test]
fn supplies_afterwards() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = written(folder.path(), "");
    let [used, left] = ["used.toml", "left.toml"].map(|name| folder.path().join(name));
    let (used_name, left_name) = (
        used.to_str().expect("a name"),
        left.to_str().expect("a name"),
    );
    let answer = json(&["buy", &album, "--use", used_name, "--left", left_name]);
    let text = fs::read_to_string(&used).expect("written");
    assert!(text.starts_with("# What lies on the table.\n"), "{text}");
    assert!(text.contains("# from the market"), "{text}");
    // 3 at home, a pack of 25, 4 used.
    assert!(text.contains("count = 24"), "{text}");
    let names = |text: &str| text.lines().filter(|line| line.starts_with("name")).count();
    let left = fs::read_to_string(&left).expect("written");
    let things = answer["supplies"].as_array().expect("supplies").iter();
    let over = things.filter(|it| it["left"] != 0).count();
    assert_eq!(names(&left), over, "{left}");
    // Both are files of supplies: an album reads them.
    let next = fs::read_to_string(&album)
        .expect("an album")
        .replace("supplies.toml", "used.toml");
    fs::write(folder.path().join("next.toml"), next).expect("written");
    let next = folder.path().join("next.toml");
    let again = json(&["buy", next.to_str().expect("a name")]);
    assert!(
        bought(&again).iter().all(|(name, _)| name != "small"),
        "{again}"
    );
    // Nothing that is there is written over.
    let said = refused(&["buy", &album, "--use", used_name]);
    assert!(said.contains("there is such a file already"), "{said}");
    let said = refused(&[
        "buy", &album, "--use", used_name, "--left", used_name, "--force",
    ]);
    assert!(said.contains("would be one file"), "{said}");
    let read = folder.path().join("supplies.toml");
    let said = refused(&[
        "buy",
        &album,
        "--force",
        "--use",
        read.to_str().expect("a name"),
    ]);
    assert!(said.contains("it is read here"), "{said}");
}

/// Supplies in several files: a copy of each, with the offcuts where their paper stands.
#[test]
fn several_files_of_supplies() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = written(folder.path(), "");
    let supplies = folder.path().join("supplies.toml");
    let text = fs::read_to_string(&supplies).expect("written");
    let at = text.find("[[paper]]").expect("papers");
    let end = text[at..].find("[[ring]]").map_or(text.len(), |n| at + n);
    let rest = format!("{}{}", &text[..at], &text[end..]);
    fs::write(&supplies, rest).expect("written");
    fs::write(folder.path().join("papers.toml"), &text[at..end]).expect("written");
    let words = fs::read_to_string(&album).expect("an album");
    let words = words.replace("\"supplies.toml\"", "\"supplies.toml\", \"papers.toml\"");
    fs::write(&album, words).expect("written");
    let after = folder.path().join("after");
    let name = after.to_str().expect("a name");
    let said = refused(&["buy", &album, "--use", &format!("{name}.toml")]);
    assert!(
        said.contains("in 2 files") && said.contains("papers.toml"),
        "{said}"
    );
    assert!(!after.exists());
    json(&["buy", &album, "--use", name]);
    let read = |name: &str| fs::read_to_string(after.join(name)).expect("written");
    assert!(read("supplies.toml").contains("count = 24"));
    assert!(!read("supplies.toml").contains("offcut"));
    assert!(
        read("papers.toml").contains("[[offcut]]") && read("papers.toml").contains("sheets = ")
    );
    let said = refused(&["buy", &album, "--use", name]);
    assert!(said.contains("there is such a file already"), "{said}");
}

/// Papers that share only some pieces: the answer says that it is not the cheapest.
#[test]
fn papers_that_share_some_pieces() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = written(folder.path(), "");
    let text = fs::read_to_string(&album).expect("an album");
    fs::write(
        &album,
        text.replace("back_mat = [\"large\", \"letter\"]", "back_mat = \"large\""),
    )
    .expect("written");
    let text = done(&["buy", &album]);
    assert!(text.contains("other sheets may cost less"), "{text}");
    assert_eq!(json(&["buy", &album])["verdict"], "best found");
}

#[test]
fn what_cannot_be_bought() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = written(folder.path(), "");
    let supplies = folder.path().join("supplies.toml");
    let text = fs::read_to_string(&supplies).expect("written");
    // A ring that comes only in one pack, too small.
    let scarce = text.replace("price = \"0.45\"\n\n", "\n").replace(
        "count = 2\nprice = \"0.45\"\n",
        "count = 2\n[[pack]]\nof = \"ring\"\nholds = 2\nprice = \"0.50\"\nmost = 1\n",
    );
    fs::write(&supplies, &scarce).expect("written");
    let (out, _) = told(&run(&["buy", &album, "--copies", "9"]), 1);
    // Three in each of nine: 27. Two at hand and two for sale are enough for one.
    let said = out.split_whitespace().collect::<Vec<_>>().join(" ");
    let first = "23 of ring are missing: 27 are needed, and with all that is for sale (1 pack of 2 for 0.50) you have 4. So at most 1 of the 9 albums can be made: ask with `--copies 1`.";
    assert!(said.starts_with(first), "{out}");
    assert!(out.lines().all(|line| line.len() <= 80), "{out}");
    // Sheets are shared by copies, so that no number of albums follows from too few of them.
    let sheets = text.replace(
        "size = \"8 1/2 x 11 in\"\nprice = \"0.45\"\n",
        "size = \"8 1/2 x 11 in\"\n[[pack]]\nof = \"letter\"\nholds = 1\nprice = \"0.50\"\nmost = 1\n",
    );
    fs::write(&supplies, &sheets).expect("written");
    let only = fs::read_to_string(&album).expect("written");
    let letter = only.replace("[\"large\", \"letter\"]", "\"letter\"");
    fs::write(&album, letter).expect("written");
    let (out, _) = told(&run(&["buy", &album, "--copies", "9"]), 1);
    let (said, rest) = (
        "of letter are missing: the best plan found takes",
        "at most",
    );
    assert!(out.contains(said) && !out.contains(rest), "{out}");
    fs::write(&album, only).expect("written");
    // Without any price it is counted all the same.
    let free: String = text
        .lines()
        .filter(|line| !line.starts_with("price"))
        .map(|line| format!("{line}\n"))
        .collect();
    fs::write(&supplies, free).expect("written");
    let answer = json(&["buy", &album]);
    assert_eq!(
        (&answer["price"], answer["packs"].as_array().map(Vec::len)),
        (&Value::from("0.00"), Some(0))
    );
    let things = answer["supplies"].as_array().expect("supplies").iter();
    assert!(
        things.filter(|it| it["missing"] != 0).count() > 1,
        "{answer}"
    );
    let text = done(&["buy", &album]);
    assert!(text.contains("What is missing has no price."), "{text}");
}

/// A run that is killed while it writes leaves the old file or the new one.
#[test]
fn a_killed_run_leaves_a_whole_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = written(folder.path(), "");
    let left = folder.path().join("left.toml");
    let line = [
        "buy",
        &album,
        "--left",
        left.to_str().expect("a name"),
        "--force",
    ];
    done(&line);
    let new = fs::read_to_string(&left).expect("written");
    let old = "# What was left before.\n";
    let files = || fs::read_dir(folder.path()).expect("a folder").count();
    let before = files();
    for _ in 0..4 {
        fs::write(&left, old).expect("written");
        let mut run = super::program(&line)
            .stdout(std::process::Stdio::null())
            .spawn()
            .expect("it runs");
        while files() == before && run.try_wait().expect("it runs").is_none() {}
        run.kill().expect("it is killed");
        run.wait().expect("it ends");
        let found = fs::read_to_string(&left).expect("it is there");
        assert!(found == old || found == new, "{found}");
    }
}

/// Six mats of 5 in and a little, one from a sheet of 6 in: two sheets more of each of two designs. A bag too
/// few, and no such bag is offered where it is too narrow.
#[test]
fn fit_names_what_is_missing_at_home() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = |bag: &str, more: &str| {
        let text = format!(
            r#"album = "Ferns"
ruler = "1/8 in"
[[bag]]
name = "plain bag"
size = "5 1/2 x 7 in"
gusset = "3 in"
count = 5
[[bag]]
name = "low bag"
size = "3 x 7 in"
gusset = "2 in"
count = 9
[[paper]]
name = "leaf pad"
size = "6 x 6 in"
designs = ["frond", "spore"]
sheets = 1
[[leaf]]
name = "page"
bag = "{bag}"
count = 6
front_mat = "leaf pad"
pocket_mat = "none"
back_mat = "none"
{more}"#
        );
        let path = folder.path().join("album.toml");
        fs::write(&path, text).expect("written");
        path.to_str().expect("a name").to_owned()
    };
    let out = done(&["fit", &album("plain bag", "")]);
    let words = line(&out);
    for said in [
        "What to watch You have 5 of plain bag and need 6: buy 1.",
        "You have 1 sheet of each design of leaf pad and need 3: buy 2 of each.",
    ] {
        assert!(words.contains(said), "{said}\n{out}");
    }
    let card = "[[leaf.insert]]\nname = \"ticket\"\nplace = \"mouth\"\nsection = \"back\"\nsize = \"4 x 5 in\"\n";
    let narrow = album("low bag", card);
    let (out, _) = told(&run(&["why", &narrow]), 1);
    assert!(!out.contains("se bag `plain bag`"), "{out}");
    let enough = fs::read_to_string(&narrow)
        .expect("text")
        .replace("count = 5", "count = 6");
    fs::write(&narrow, enough).expect("written");
    let (out, _) = told(&run(&["why", &narrow]), 1);
    assert!(out.contains("se bag `plain bag`"), "{out}");
}

/// Where no ring is named, the list says which is large enough: with it the album fits, with the next smaller one
/// that is sold it does not (rings go by eighths of an inch: common practice, no published source).
#[test]
fn the_ring_to_buy_is_said() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = r#"album = "No ring"
ruler = "1/8 in"
[[bag]]
name = "craft"
size = "6 1/8 x 11 1/4 in"
gusset = "3 5/8 in"
count = 5
[[leaf]]
name = "page"
bag = "craft"
count = 5
"#;
    let path = folder.path().join("album.toml");
    fs::write(&path, album).expect("written");
    let path = path.to_str().expect("a name");
    let said = done(&["buy", path]);
    assert!(said.contains("You have all that is named"), "{said}");
    let ring = json(&["buy", path])["ring_inside"]
        .as_str()
        .expect("a ring")
        .to_owned();
    assert!(
        said.contains(&format!("3 rings of at least {ring} inside")),
        "{said}"
    );
    // With that ring it fits, with the next smaller one it does not.
    for (n, code) in [(0, 0), (1, 1)] {
        let eighths = eighths(&ring) - n;
        let with = format!("{album}[[ring]]\nname = \"r\"\ninside = \"{eighths}/8 in\"\n");
        fs::write(path, with).expect("written");
        told(&run(&["fit", path]), code);
    }
}

/// An inch length in eighths.
fn eighths(said: &str) -> i64 {
    let bare = said.trim_end_matches(" in");
    let parts = bare.split(' ').map(|part| match part.split_once('/') {
        Some((n, of)) => {
            8 * n.parse::<i64>().expect("a number") / of.parse::<i64>().expect("a number")
        }
        None => 8 * part.parse::<i64>().expect("a number"),
    });
    parts.sum()
}
