//! A class of thirteen kits of three kinds of bag: what to buy, what to cut, what to hand out.

use super::{done, json, line};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

const SUPPLIES: &str = r#"
[[bag]]
name = "brown"
size = "4 3/8 x 8 5/8 in"
gusset = "2 1/2 in"
count = 12
pack = 50
price = "6.50"

[[bag]]
name = "white"
size = "5 1/8 x 10 5/8 in"
gusset = "3 1/8 in"
pack = 25
price = "5.20"

[[bag]]
name = "clear"
size = "4 3/4 x 6 3/4 in"
pack = 100
price = "14.00"

[[paper]]
name = "garden pad"
size = "12 x 12 in"
designs = ["fern", "moss", "poppy", "bark"]
sheets = 1

[[paper]]
name = "sand card"
size = "12 x 12 in"
sheets = 4
price = "0.90"

[[pack]]
of = "garden pad"
holds = 12
price = "8.80"

[[ring]]
name = "ring"
inside = "1 in"
count = 6
price = "0.45"
"#;

fn album(folder: &Path, bag: &str, leaves: usize, mats: &str) -> String {
    let text = format!(
        r#"album = "The {bag} book"
ruler = "1/8 in"
supplies = ["supplies.toml"]

[template]
ring = "ring"

[[leaf]]
name = "page"
bag = "{bag}"
count = {leaves}
{mats}
back_mat = "garden pad"
insert = [{{ name = "photo_mat", place = "mouth", paper = "sand card", photo = true }}]
"#
    );
    let path = folder.join(bag).with_extension("toml");
    fs::write(&path, text).expect("an album");
    path.to_str().expect("a name").to_owned()
}

#[test]
fn thirteen_kits_of_three_bags() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("supplies.toml"), SUPPLIES).expect("supplies");
    let pad = "front_mat = \"garden pad\"\npocket_mat = \"garden pad\"";
    let albums = [
        format!("{}:5", album(folder.path(), "brown", 4, pad)),
        format!("{}:4", album(folder.path(), "white", 3, pad)),
        format!(
            "{}:4",
            album(folder.path(), "clear", 3, "front_mat = \"none\"")
        ),
    ];
    let with = |verb: &str, more: &[&str]| {
        let mut words = vec![verb.to_owned()];
        words.extend(albums.clone());
        words.extend(more.iter().map(|it| (*it).to_owned()));
        words
    };
    let run = |words: Vec<String>| json(&words.iter().map(String::as_str).collect::<Vec<_>>());
    let bought = run(with("buy", &["--json"]));
    assert_eq!(bought["verdict"], "proved");
    let number = |value: &serde_json::Value| value.as_u64().expect("a number");
    let used: BTreeMap<&str, u64> = bought["supplies"]
        .as_array()
        .expect("supplies")
        .iter()
        .map(|it| (it["name"].as_str().expect("a name"), number(&it["used"])))
        .collect();
    // 5 kits of 4 bags, 4 of 3 and 4 of 3; three rings a kit.
    let counts = ["brown", "white", "clear", "ring"].map(|name| used[name]);
    assert_eq!(counts, [20, 12, 12, 39]);
    // What is cut: the same sheets, and as many pieces of each album as its kits need.
    let cut = run(with("cut", &["--cheapest", "--json"]));
    let mut pieces: BTreeMap<&str, u64> = BTreeMap::new();
    let mut designs: BTreeMap<String, u64> = BTreeMap::new();
    for piece in cut["pieces"].as_array().expect("pieces") {
        let leaf = piece["leaf"].as_str().expect("a leaf");
        let name = piece["name"].as_str().expect("a name");
        *pieces.entry(leaf).or_default() += number(&piece["count"]);
        for from in piece["from"].as_array().expect("papers") {
            let paper = from["paper"].as_str().expect("a name");
            *designs.entry(format!("{leaf} {name} {paper}")).or_default() += number(&from["count"]);
        }
    }
    let pieces: Vec<u64> = pieces.into_values().collect();
    // Brown: 3 mats and a photo mat on 4 leaves; clear, then white, by their names.
    assert_eq!(pieces, [5 * 4 * 4, 4 * 3 * 2, 4 * 3 * 4]);
    // Kits of one album are alike: each design's pieces come in whole kits.
    for (what, count) in &designs {
        let kits = if what.contains("brown") { 5 } else { 4 };
        assert_eq!(count % kits, 0, "{what}: {count}");
    }
    // What is handed out.
    let pages = folder.path().join("pages");
    let more = ["--kit", "--svg", pages.to_str().expect("a name")];
    let words = with("print", &more);
    done(&words.iter().map(String::as_str).collect::<Vec<_>>());
    let mut files: Vec<_> = fs::read_dir(&pages).expect("pages").flatten().collect();
    files.sort_by_key(fs::DirEntry::path);
    let read = |file: &fs::DirEntry| {
        let page = fs::read_to_string(file.path()).expect("a page");
        let words = page
            .split('<')
            .filter_map(|tag| Some(tag.split_once('>')?.1));
        let words = words.collect::<Vec<_>>().join(" ");
        line(&words)
    };
    let pages: Vec<String> = files.iter().map(read).collect();
    let students = pages
        .iter()
        .filter(|page| page.contains("For each student"))
        .count();
    assert_eq!(students, 3);
    let teachers = pages
        .iter()
        .take_while(|page| !page.contains("For each student"));
    let teacher: String = teachers.map(String::as_str).collect();
    // Two pages for each kind of album.
    assert!(
        pages
            .iter()
            .filter(|page| page.contains("page 2 of 2"))
            .count()
            >= 3
    );
    let first = pages
        .iter()
        .position(|page| page.contains("For each student"));
    let own = &pages[first.expect("a student's page")..];
    assert!(
        !own.iter().any(|page| page.contains("page 4 of")),
        "{}",
        pages.len()
    );
    let price = bought["price"].as_str().expect("money");
    for said in [
        "13 kits: 5 of The brown book",
        &format!("Buy for {price}."),
        "Time plan",
        // What is cut and made beforehand.
        "How to cut the sheets",
        "Template at true scale",
    ] {
        assert!(teacher.contains(said), "{said}\n{teacher}");
    }
    let all = pages.join(" ");
    for said in ["Which design", "1. Fold the leaves", "2. Glue the mats"] {
        assert!(all.contains(said), "{said}");
    }
}
