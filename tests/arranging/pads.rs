//! A pad of designs from the album to the cuts: what a maker reads, and that the cutting plan agrees.

use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

fn album(leaves: usize, pad: &str, more: &str) -> String {
    format!(
        r#"
album = "A year"
ruler = "1/8 in"
bag = [{{ name = "small", size = "5 1/8 x 10 5/8 in", gusset = "3 1/8 in" }}]

[[leaf]]
name = "page"
bag = "small"
count = {leaves}
front_mat = "pad"
pocket_mat = "pad"
back_mat = "pad"
{more}

[[paper]]
name = "pad"
{pad}
"#
    )
}

const TWELVE: &str = "designs = [\"fern\", \"moss\", \"oak\", \"elm\", \"ash\", \"yew\", \"fir\", \"bay\", \"box\", \"fig\", \"nut\", { name = \"rye\", sheets = 2 }]\nsheets = 2\n";

fn run(folder: &Path, verb: &str, text: &str, more: &[&str]) -> (i32, String) {
    let album = folder.join("album.toml");
    fs::write(&album, text).expect("it is written");
    let mut command = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    let output = command.arg(verb).arg(&album).args(more).output();
    let output = output.expect("the program runs");
    let text = [output.stdout, output.stderr].concat();
    let code = output.status.code().unwrap_or(-1);
    (code, String::from_utf8(text).expect("text"))
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|_| panic!("{text}"))
}

#[test]
fn fourteen_leaves_of_a_pad_of_twelve_designs() {
    let folder = tempfile::tempdir().expect("a folder");
    let pad = format!("size = \"12 x 12 in\"\n{TWELVE}");
    let text = album(14, &pad, "");
    let (code, said) = run(folder.path(), "arrange", &text, &[]);
    assert_eq!(code, 0, "{said}");
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "Pad: which design goes where",
        "42 pieces. No two that touch or face each other are alike, and each design is used 3 to 4 times. No other way is better (proved).",
        "Fern (2 sheets at hand):",
        "Opening 13: left, page 13: back mat",
    ] {
        assert!(said.contains(part), "{part}\n{said}");
    }
    let (_, answer) = run(folder.path(), "arrange", &text, &["--json"]);
    let answer = json(&answer);
    let pieces = answer["pads"][0]["pieces"].as_array().expect("pieces");
    let mut seen: BTreeMap<i64, Vec<&str>> = BTreeMap::new();
    let mut uses: BTreeMap<(&str, &str), u64> = BTreeMap::new();
    for piece in pieces {
        let text = |key: &str| piece[key].as_str().expect("text");
        let opening = seen
            .entry(piece["opening"].as_i64().expect("a number"))
            .or_default();
        assert!(!opening.contains(&text("design")), "{piece}");
        opening.push(text("design"));
        *uses.entry((text("design"), text("name"))).or_default() += 1;
    }
    assert_eq!(pieces.len(), 42);
    // The cutting plan names each design and has the same pieces of it; the sheets suffice.
    let (code, plan) = run(folder.path(), "cut", &text, &["--json"]);
    assert_eq!(code, 0, "{plan}");
    let plan = json(&plan);
    let mut cut: BTreeMap<(String, String), u64> = BTreeMap::new();
    for piece in plan["pieces"].as_array().expect("pieces") {
        for from in piece["from"].as_array().expect("papers") {
            let paper = from["paper"].as_str().expect("a name").to_owned();
            let name = piece["name"].as_str().expect("a name").replace(' ', "_");
            *cut.entry((paper, name)).or_default() += from["count"].as_u64().expect("a number");
        }
    }
    let uses = uses.into_iter();
    let uses = uses.map(|((design, name), n)| ((format!("pad, {design}"), name.to_owned()), n));
    assert_eq!(cut, uses.collect::<BTreeMap<_, _>>());
}

#[test]
fn sheets_that_are_not_enough_and_pieces_that_match() {
    let folder = tempfile::tempdir().expect("a folder");
    let pad = format!("size = \"8 x 8 in\"\n{TWELVE}");
    let (code, said) = run(folder.path(), "arrange", &album(14, &pad, ""), &[]);
    assert_eq!(code, 1, "{said}");
    assert!(
        said.contains("not enough") && said.contains("(proved)"),
        "{said}"
    );
    let pad = format!("size = \"12 x 12 in\"\n{TWELVE}");
    let more = "match = [[\"front_mat\", \"pocket_mat\"]]\napart = 2\n";
    let (code, answer) = run(folder.path(), "arrange", &album(6, &pad, more), &["--json"]);
    assert_eq!(code, 0, "{answer}");
    let answer = json(&answer);
    let design = |copy: i64, name: &str| {
        let mut pieces = answer["pads"][0]["pieces"]
            .as_array()
            .expect("pieces")
            .iter();
        let piece = pieces.find(|it| it["copy"] == copy && it["name"] == name);
        piece.expect("it is there")["design"]
            .as_str()
            .expect("text")
            .to_owned()
    };
    for copy in 1..=6 {
        assert_eq!(design(copy, "front_mat"), design(copy, "pocket_mat"));
        for later in copy + 1..=(copy + 2).min(6) {
            assert_ne!(design(copy, "front_mat"), design(later, "front_mat"));
        }
    }
}

#[test]
fn what_is_wrong_with_a_pad() {
    let folder = tempfile::tempdir().expect("a folder");
    let size = "size = \"12 x 12 in\"\n";
    for (pad, more, says) in [
        (
            "designs = [\"fern\", \"fern\"]\n",
            "",
            "two designs are named `fern`",
        ),
        ("designs = \"fern\"\n", "", "designs"),
        ("designs = [3]\n", "", "designs"),
        (
            "designs = [{ name = \"fern\", sheets = -1 }]\n",
            "",
            "sheets",
        ),
        ("designs = [{ sheets = 2 }]\n", "", "name"),
        (
            "designs = [\"fern\"]\n",
            "match = [[\"band\"]]\n",
            "names no paper for `band`",
        ),
        ("designs = [\"fern\"]\n", "match = 3\n", "match"),
        ("designs = [\"fern\"]\n", "apart = -1\n", "apart"),
    ] {
        let text = album(2, &format!("{size}{pad}"), more);
        let (code, said) = run(folder.path(), "arrange", &text, &[]);
        assert_eq!(code, 2, "{pad}{more}{said}");
        assert!(said.contains(says), "{says}\n{said}");
    }
}

#[test]
fn several_copies_are_alike_and_are_bought_by_the_pad() {
    let folder = tempfile::tempdir().expect("a folder");
    let pad = format!(
        "size = \"12 x 12 in\"\n{TWELVE}[[pack]]\nof = \"pad\"\nholds = 24\nprice = \"9.50\"\n"
    );
    let text = album(14, &pad, "");
    let copies = &["--copies", "2", "--spare", "1", "--json"][..];
    let (code, arranged) = run(folder.path(), "arrange", &text, copies);
    assert_eq!(code, 1, "the sheets at home are not enough: {arranged}");
    let arranged = json(&arranged);
    let mut needed: BTreeMap<(&str, &str), u64> = BTreeMap::new();
    for piece in arranged["pads"][0]["pieces"].as_array().expect("pieces") {
        let text = |key: &str| piece[key].as_str().expect("text");
        *needed.entry((text("design"), text("name"))).or_default() += 3;
    }
    // What is bought is enough for all copies of this deal, and nothing is bought singly.
    let (code, bought) = run(folder.path(), "buy", &text, copies);
    assert_eq!(code, 0, "{bought}");
    let bought = json(&bought);
    assert_eq!(bought["verdict"], "proved");
    let papers = bought["supplies"].as_array().expect("supplies");
    let papers = papers.iter().filter(|it| it["kind"] == "paper");
    let mut designs = 0;
    for paper in papers {
        let number = |key: &str| paper[key].as_u64().expect("a number");
        assert_eq!(number("bought"), 4, "two pads: {paper}");
        assert!(number("used") <= 6, "{paper}");
        designs += 1;
    }
    assert_eq!(designs, 12);
    // Less is not enough: with 1 pad there are 4 sheets of each design.
    let more = text
        .replace("\nsheets = 2\n", "\nsheets = 4\n")
        .replace("sheets = 2 }", "sheets = 4 }");
    let (code, _) = run(folder.path(), "arrange", &more, copies);
    assert_eq!(code, 1);
    // The cutting plan has the same pieces of each design.
    let (_, cut) = run(folder.path(), "cut", &text, copies);
    let mut found: BTreeMap<(String, String), u64> = BTreeMap::new();
    for piece in json(&cut)["pieces"].as_array().expect("pieces") {
        for from in piece["from"].as_array().expect("papers") {
            let paper = from["paper"].as_str().expect("a name").to_owned();
            let name = piece["name"].as_str().expect("a name").replace(' ', "_");
            *found.entry((paper, name)).or_default() += from["count"].as_u64().expect("a number");
        }
    }
    let needed = needed.into_iter();
    let needed = needed.map(|((design, name), n)| ((format!("pad, {design}"), name.to_owned()), n));
    assert_eq!(found, needed.collect::<BTreeMap<_, _>>());
}

#[test]
fn what_is_left_of_a_pad_is_a_pad_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let pad = "size = \"12 x 12 in\" # of the spring\ndesigns = [\"fern\", { name = \"moss\", sides = 2 }, \"oak\"]\nsheets = 3\n";
    let text = album(1, pad, "");
    let [after, left] = ["after.toml", "left.toml"].map(|name| folder.path().join(name));
    let [after, left] = [after, left].map(|path| path.display().to_string());
    let more = ["--use", &after, "--left", &left];
    let (code, said) = run(folder.path(), "buy", &text, &more);
    assert_eq!(code, 0, "{said}");
    let written = fs::read_to_string(&after).expect("it is written");
    for part in [
        "# of the spring",
        "{ name = \"fern\", sheets = 2 }",
        "{ name = \"moss\", sheets = 2, sides = 2 }",
        "paper = \"pad, fern\"",
    ] {
        assert!(written.contains(part), "{part}\n{written}");
    }
    // It can be read again, offcuts of each design among it.
    let (code, said) = run(folder.path(), "buy", &written, &["--json"]);
    assert_eq!(code, 0, "{said}");
    assert_eq!(json(&said)["price"], "0.00");
    let left = fs::read_to_string(&left).expect("it is written");
    assert!(left.contains("name = \"oak\", sheets = 2"), "{left}");
}

/// One sheet of each design gives a back mat each; two offcuts give two more.
#[test]
fn offcuts_of_a_design_count() {
    let folder = tempfile::tempdir().expect("a folder");
    let pad = "size = \"8 x 8 in\"\ndesigns = [\"fern\", \"moss\", \"oak\"]\nsheets = 1\n";
    let (code, said) = run(folder.path(), "arrange", &album(2, pad, ""), &[]);
    assert_eq!(code, 1, "{said}");
    let offcuts = format!(
        "{pad}[[offcut]]\npaper = \"pad, fern\"\nsize = \"8 x 8 in\"\n\n[[offcut]]\npaper = \"pad, oak\"\nsize = \"8 x 8 in\"\n"
    );
    let text = album(2, &offcuts, "");
    let (code, said) = run(folder.path(), "arrange", &text, &[]);
    assert_eq!(code, 0, "{said}");
    let (code, said) = run(folder.path(), "cut", &text, &[]);
    assert_eq!(code, 0, "{said}");
}

#[test]
fn what_is_pulled_out_shows_the_back_of_its_paper() {
    let folder = tempfile::tempdir().expect("a folder");
    let tag =
        "insert = [{ name = \"tag\", place = \"mouth\", paper = \"pad\", size = \"2 x 4 in\" }]";
    for (sides, bare) in [("sides = 1\n", true), ("sides = 2\n", false), ("", false)] {
        let pad = format!("size = \"12 x 12 in\"\ndesigns = [\"fern\", \"moss\"]\n{sides}");
        let (code, said) = run(folder.path(), "arrange", &album(1, &pad, tag), &[]);
        assert_eq!(code, 0, "{said}");
        assert_eq!(said.contains("bare backs"), bare, "{said}");
        assert_eq!(said.contains("Page: tag"), bare, "{said}");
    }
    let pad = "size = \"12 x 12 in\"\ndesigns = [{ name = \"fern\", sides = 3 }]\n";
    let (code, said) = run(folder.path(), "arrange", &album(1, pad, tag), &[]);
    assert_eq!(code, 2, "{said}");
}

/// The steps, the map and the cutting plans of a printout name the designs.
#[test]
fn a_printout_names_the_designs() {
    let folder = tempfile::tempdir().expect("a folder");
    let pad = "size = \"12 x 12 in\"\ndesigns = [\"fern\", \"moss\", \"oak\"]\n";
    let page = folder.path().join("page.html");
    let more = ["--html", page.to_str().expect("a name")];
    let (code, said) = run(folder.path(), "print", &album(2, pad, ""), &more);
    assert_eq!(code, 0, "{said}");
    let page = fs::read_to_string(page).expect("it is written");
    let words = page
        .split('<')
        .filter_map(|tag| Some(tag.split_once('>')?.1));
    let words = words.collect::<Vec<_>>().join(" ").replace('\u{a0}', " ");
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "Which design Front mat Pocket mat Back mat",
        "Page 2",
        "Page 1 oak moss fern",
        "Front mat oak, pocket mat moss.",
        "pad, fern, 12",
    ] {
        assert!(words.contains(part), "{part}\n{words}");
    }
}
