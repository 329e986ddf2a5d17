//! How what `compare` finds comes out: in order from any number of threads, as JSON, every size of a sweep, and
//! nothing half written.

use super::compare::{SHELF, cell, rows, table, with};
use super::*;
use std::process::Stdio;
use std::time::Duration;

/// Rows of bags of many sizes; some are wrong, and some bags do not fit.
fn many(rows: usize) -> String {
    let mut text = "name,width,gusset,height,pack,price\n".to_owned();
    for n in 0..rows {
        let (width, height) = (20 + n * 7 % 50, 40 + n * 13 % 70);
        let gusset = if n % 3 == 0 { "" } else { "2 in" };
        text.push_str(&format!(
            "bag {n},{width} / 8 in,{gusset},{height} / 8 in,{},4.20\n",
            n % 60 + 1
        ));
    }
    text
}

#[test]
fn rows_come_out_in_the_order_in_which_they_went_in_whatever_the_threads() {
    let (_folder, path) = table(&many(300));
    let told_by = |threads: &str| {
        let mut command = program(&with(&["--bags", &path, "--csv"]));
        let output = command
            .env("RAYON_NUM_THREADS", threads)
            .output()
            .expect("it runs");
        told(&output, 0).0
    };
    let one = told_by("1");
    assert_eq!(one, told_by("3"));
    let rows = rows(&one);
    // The bag that was typed comes first.
    assert_eq!(rows.len(), 301);
    assert_eq!(cell(&rows[0], "name"), "bag");
    for (n, row) in rows[1..].iter().enumerate() {
        assert_eq!(cell(row, "name"), format!("bag {n}"));
        assert_eq!(cell(row, "line"), (n + 2).to_string());
    }
    let text = |arguments: &[&str], threads: &str| {
        let mut command = program(&with(arguments));
        let output = command
            .env("RAYON_NUM_THREADS", threads)
            .output()
            .expect("it runs");
        told(&output, 0).0
    };
    let json = ["--bags", &path, "--json"];
    assert_eq!(text(&json, "1"), text(&json, "4"));
}

#[test]
fn json_tells_the_same_as_the_table() {
    let arguments = [
        "compare", LOW_WATER, "--leaf", "shore", "--bags", SHELF, "--json",
    ];
    let answer = super::json(&arguments);
    assert_eq!(
        (&answer["kind"], &answer["tuckwright"]),
        (&Value::from("compare"), &Value::from(2))
    );
    let counts = &answer["counts"];
    assert_eq!(
        (&counts["bags"], &counts["fit"]),
        (&Value::from(13), &Value::from(4))
    );
    let first = &answer["ranked"][0];
    assert_eq!(
        (&first["name"], &first["unbeaten"]),
        (&Value::from("market bag"), &Value::from(true))
    );
    assert_eq!(first["photo"]["width"]["text"], "6 in");
    assert_eq!(first["photo"]["print"]["turned"], true);
    assert_eq!(first["ring"]["takes"][0]["leaf"], "shore");
    let failed = &answer["failed"][0];
    assert_eq!(
        failed["clash"][0]["rule"],
        "a pocket insert does not fall out"
    );
    assert_eq!(failed["needs"][0]["changes"][0]["change"], "cut down");
    let short = &answer["ranked"][3];
    assert_eq!(short["name"], "short brown");
    assert_eq!(short["photo"]["tolerance_costs"], Value::Null);
}

#[test]
fn a_sweep_tells_every_size() {
    let over = [
        "--widths",
        "3 .. 4 in",
        "--heights",
        "6 in .. 7 in",
        "--step",
        "1/2 in",
        "--print",
        "3 x 4 in",
    ];
    let (out, _) = told(&run(&with(&[&over[..], &["--csv"]].concat())), 0);
    let rows = rows(&out);
    assert_eq!(rows.len(), 9);
    let sizes: Vec<_> = rows
        .iter()
        .map(|r| (cell(r, "width"), cell(r, "height")))
        .collect();
    assert_eq!(
        sizes[..4],
        [
            ("3 in", "6 in"),
            ("3 1/2 in", "6 in"),
            ("4 in", "6 in"),
            ("3 in", "6 1/2 in")
        ]
    );
    // 3 - 7/8 = 2 1/8; the print is 4 in high.
    assert_eq!(
        (
            cell(&rows[0], "photo_width"),
            cell(&rows[0], "photo_height")
        ),
        ("2 1/8 in", "4 in")
    );
    let (text, _) = told(&run(&with(&over)), 0);
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    let wide = [
        "--widths",
        "3 .. 8 in",
        "--heights",
        "6 in .. 9 in",
        "--ruler",
        "1/32 in",
        "--step",
        "1/2 in",
    ];
    let (text, _) = told(&run(&with(&wide)), 0);
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    let answer = super::json(&with(&[&over[..], &["--json"]].concat()));
    assert_eq!(answer["sizes"].as_array().map(Vec::len), Some(9));
    assert!(answer["regions"][0]["rules"][0].is_string());
}

#[test]
fn pictures_and_rows_are_written_whole_and_not_over_others() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name).to_str().expect("text").to_owned();
    let (picture, csv) = (at("shelf.svg"), at("bags.csv"));
    let arguments = with(&["--bags", SHELF, "--csv", "-o", &csv, "--svg", &picture]);
    assert_eq!(told(&run(&arguments), 0), (String::new(), String::new()));
    let svg = std::fs::read_to_string(&picture).expect("a picture");
    assert!(svg.contains("<svg") && svg.contains("market bag"), "{svg}");
    assert_eq!(
        std::fs::read_to_string(&csv).expect("rows").lines().count(),
        15
    );
    let err = refused(&arguments);
    assert!(err.contains("--force"), "{err}");
    let over = [
        "--widths",
        "3 .. 5 in",
        "--heights",
        "6 .. 8 in",
        "--bags",
        SHELF,
    ];
    let map = at("map.svg");
    told(&run(&with(&[&over[..], &["--svg", &map]].concat())), 0);
    assert!(
        std::fs::read_to_string(&map)
            .expect("a map")
            .contains("short brown")
    );
}

fn files(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("a folder");
    let names = entries.map(|e| {
        e.expect("a file")
            .file_name()
            .to_string_lossy()
            .into_owned()
    });
    let mut names: Vec<String> = names.collect();
    names.sort();
    names
}

/// A long table is begun and then stopped: what was there before is as it was, and nothing is left
/// beside it.
#[cfg(unix)]
#[test]
fn stopped_in_the_middle_it_leaves_no_half_file() {
    for (signal, leaves) in [("-INT", true), ("-KILL", false)] {
        let folder = tempfile::tempdir().expect("a folder");
        let bags = folder.path().join("bags.csv");
        std::fs::write(&bags, many(200_000)).expect("a long table");
        let out = folder.path().join("out.csv");
        std::fs::write(&out, "as before\n").expect("it can be written");
        let (bags, out_name) = (bags.to_str().expect("text"), out.to_str().expect("text"));
        let arguments = with(&["--bags", bags, "--csv", "-o", out_name, "--force"]);
        let mut command = program(&arguments);
        let mut child = command.stderr(Stdio::piped()).spawn().expect("it runs");
        // It has begun when its own file stands beside the old one.
        while files(folder.path()).len() < 3 && child.try_wait().expect("it runs").is_none() {
            std::thread::sleep(Duration::from_millis(10));
        }
        let sent = std::process::Command::new("kill")
            .args([signal, &child.id().to_string()])
            .status();
        assert!(sent.expect("kill").success());
        let status = child.wait().expect("it ends");
        assert!(!status.success());
        assert_eq!(
            std::fs::read_to_string(&out).expect("the old file"),
            "as before\n"
        );
        if leaves {
            assert_eq!(status.code(), Some(130));
            assert_eq!(files(folder.path()), ["bags.csv", "out.csv"]);
        }
    }
}
