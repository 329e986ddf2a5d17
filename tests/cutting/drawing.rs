//! The drawings of sheets: words that can be read, pieces where the plan has them.

use super::*;
use std::time::Duration;
use tuckwright::cut::work::{Patience, work};
use tuckwright::cut::{Order, Paper, Sheets};
use tuckwright::cut::{Trimmer, list};
use tuckwright::draw::{check, png, sheets};
use tuckwright::length::{Length, Ruler, parse_length};
use tuckwright::text::{Files, Place};

fn length(text: &str) -> Length {
    parse_length(text).expect("a length")
}

/// Pages of a list of pieces on sheets of 12 x 12 in.
fn pages(lines: &str, trim: &str, directed: bool) -> Vec<(String, tuckwright::draw::list::Page)> {
    let mut files = Files::default();
    let file = files.add("list", lines);
    let wants = list::read(&files, file, 0).expect("a list");
    let order = Order {
        papers: vec![Paper {
            name: "wave print".to_owned(),
            directed,
            sheets: vec![Sheets {
                width: length("12 in"),
                height: length("12 in"),
                count: None,
                offcut: false,
                place: Place::default(),
            }],
        }],
        wants,
        any_paper: Vec::new(),
        from_left: Vec::new(),
        trimmer: Trimmer {
            trim: length(trim),
            ..Trimmer::default()
        },
    };
    let ruler = Ruler::parse("1/8 in").expect("a ruler");
    let patience = Patience {
        time: Duration::from_secs(60),
        typed: None,
        cancel: None,
        told: None,
    };
    let batches = work(&order, None, ruler, &patience).expect("a plan");
    let mut plans = batches.iter().flat_map(|b| &b.plan().papers);
    sheets::pages("A list", ruler, &order, &mut plans)
}

/// No words lie on words, on lines, or off the page. `SHOW=folder` writes pictures.
#[test]
fn drawings_can_be_read() {
    let many = "name,width,height,count,turn\nmat,5 1/8 in,7 3/8 in,5,no\nfront,5 1/8 in,5 in,4,no\npocket,5 1/8 in,2 7/8 in,1,no\nband,4 7/8 in,1 in,2,no\n";
    let turned = "name,width,height,count\na rather long name of a card,5 in,7 in,3\ntag,2 in,4 in,9\nsliver,1/2 in,6 in,5\nsquare,1 in,1 in,12\n";
    for (n, (lines, trim, directed)) in [
        (many, "0 in", true),
        (turned, "1/4 in", false),
        ("name,width,height\nwhole,12 in,12 in\n", "0 in", false),
    ]
    .into_iter()
    .enumerate()
    {
        for (name, page) in pages(lines, trim, directed) {
            let shown = std::env::var_os("SHOW");
            if let Some(keep) = &shown {
                let picture = png::file(&page, 60).expect("a picture");
                let path = Path::new(keep).join(format!("{n}-{name}.png"));
                fs::write(path, picture).expect("written");
            }
            assert_eq!(check::faults(&page), Vec::<String>::new(), "{name}");
        }
    }
}

fn drawings(arguments: &[&str]) -> Vec<(String, String)> {
    let folder = tempfile::tempdir().expect("a folder");
    let into = folder.path().join("sheets");
    let into = into.to_str().expect("a name");
    done(&[arguments, &["--svg", into]].concat());
    let mut all: Vec<(String, String)> = fs::read_dir(into)
        .expect("the folder")
        .map(|entry| {
            let path = entry.expect("a file").path();
            let name = path
                .file_name()
                .expect("a name")
                .to_string_lossy()
                .into_owned();
            (name, fs::read_to_string(path).expect("text"))
        })
        .collect();
    all.sort();
    // Nothing is written over, and nothing half.
    let message = refused(&[arguments, &["--svg", into]].concat());
    assert!(message.contains("--force"), "{message}");
    done(&[arguments, &["--svg", into, "--force"]].concat());
    if let Some(keep) = std::env::var_os("SHOW") {
        for (name, text) in &all {
            fs::write(Path::new(&keep).join(name), text).expect("written");
        }
    }
    all
}

#[test]
fn every_way_of_cutting_is_drawn() {
    for album in [LOW_WATER, HUT_BOOK] {
        let answer = json(&["cut", album]);
        let sheets = answer["sheets"].as_array().expect("sheets");
        let patterns = sheets.iter().filter_map(|s| s["pattern"].as_u64()).max();
        let drawings = drawings(&["cut", album]);
        assert_eq!(Some(drawings.len() as u64), patterns);
        for (n, (name, svg)) in drawings.iter().enumerate() {
            let sheet = sheets
                .iter()
                .find(|s| s["pattern"] == n + 1)
                .expect("a sheet");
            let paper = sheet["paper"].as_str().expect("a name").replace(' ', "-");
            assert_eq!(*name, format!("{:02}-{paper}.svg", n + 1));
            for piece in sheet["pieces"].as_array().expect("pieces") {
                let called = piece["name"].as_str().expect("a name");
                let drawn = svg.matches(&format!("data-name=\"{called}\"")).count();
                let pieces = sheet["pieces"].as_array().expect("pieces");
                assert_eq!(drawn, pieces.iter().filter(|p| p["name"] == called).count());
            }
        }
    }
}
