//! What is left in one piece: the largest that the sheets of the plan can leave, and how sure that is.

use super::*;

/// The largest offcut that is marked as its paper's largest, and what is said of it.
fn largest(answer: &Value) -> (String, String, Value) {
    let all = answer["offcuts"].as_array().expect("offcuts");
    let marked = all.iter().find(|o| !o["largest_proved"].is_null());
    let one = marked.expect("one is the largest");
    let side = |name: &str| one[name]["text"].as_str().expect("a length").to_owned();
    (side("width"), side("height"), one["largest_proved"].clone())
}

#[test]
fn half_a_sheet_stays_whole() {
    // Four pieces of 6 x 3 in stand on each other: 6 x 12 in stays whole, and by area no more can.
    let (_folder, path) = pieces("name,width,height,count,turn\ncard,6 in,3 in,4,yes\n");
    let arguments = ["cut", "--pieces", &path, "--sheet", "12 x 12 in"];
    assert_eq!(replayed(&arguments), 1);
    let answer = json(&arguments);
    let (width, height, proved) = largest(&answer);
    assert!(matches!(
        (width.as_str(), height.as_str()),
        ("6 in", "12 in") | ("12 in", "6 in")
    ));
    assert_eq!(proved, true);
    let text = flat(&done(&arguments));
    let said = "the largest that these sheets can leave in one piece, in three stages: proved";
    assert!(text.contains(said), "{text}");
}

#[test]
fn the_last_sheet_is_used_as_little_as_can_be() {
    // 25 pieces of 4 x 3 in: 12 on a sheet, and one on the third. Upright 4 x 3 leaves 12 x 9 in whole;
    // turned, a strip of 3 in wide leaves 9 x 12 in: by hand, and no cut along a piece leaves more.
    let (_folder, path) = pieces("name,width,height,count,turn\ncard,4 in,3 in,25,yes\n");
    let arguments = ["cut", "--pieces", &path, "--sheet", "12 x 12 in"];
    assert_eq!(replayed(&arguments), 3);
    let answer = json(&arguments);
    let (width, height, proved) = largest(&answer);
    let sides = [width.as_str(), height.as_str()];
    assert!(sides == ["12 in", "9 in"] || sides == ["9 in", "12 in"]);
    assert_eq!(proved, true);
}

#[test]
fn what_is_not_proved_is_called_found() {
    // Proofs do not know of the narrowest strip: without it these sheets could leave more.
    let lines = "name,width,height,count,turn\na,3 1/4 in,4 1/2 in,14,yes\nb,2 1/8 in,3 5/8 in,22,yes\nc,5 3/4 in,2 3/8 in,9,no\n";
    let (_folder, path) = pieces(lines);
    let plain = ["cut", "--pieces", &path, "--sheet", "12 x 12 in"];
    assert_eq!(largest(&json(&plain)).2, true);
    let mut arguments = plain.to_vec();
    arguments.extend(["--narrowest", "1/2 in"]);
    replayed(&arguments);
    assert_eq!(largest(&json(&arguments)).2, false);
    let text = flat(&done(&arguments));
    let said =
        "the largest in one piece that was found, in three stages; a larger one may be possible";
    assert!(text.contains(said), "{text}");
}

#[test]
fn three_stages_may_leave_less_than_free_cuts() {
    // Found by going through all cuts of these sheets: 5 x 4 in three stages, 4 x 6 by free cuts.
    let lines =
        "name,width,height,count,turn\na,1 in,2 in,2,no\nb,2 in,2 in,2,no\nc,3 in,4 in,1,no\n";
    let (_folder, path) = pieces(lines);
    let arguments = ["cut", "--pieces", &path, "--sheet", "8 x 6 in: 3"];
    let area = |stages: &str| {
        let all = [&arguments[..], &["--stages", stages]].concat();
        let (width, height, proved) = largest(&json(&all));
        assert_eq!(proved, true);
        let side = |text: &str| text.trim_end_matches(" in").parse::<u32>().expect("inches");
        side(&width) * side(&height)
    };
    assert_eq!((area("three"), area("free")), (20, 24));
}

#[test]
fn offcuts_that_no_piece_is_cut_from_are_still_listed() {
    let folder = tempfile::tempdir().expect("a folder");
    let supplies = "[[paper]]\nname = \"sand\"\nsize = \"12 x 12 in\"\n\n\
        [[paper]]\nname = \"moss\"\nsize = \"12 x 12 in\"\n\n\
        [[offcut]]\npaper = \"moss\"\nsize = \"5 x 6 in\"\ncount = 2\n\n\
        [[offcut]]\nsize = \"7 x 8 in\"\ncount = 1\n";
    written(folder.path(), "shelf.toml", supplies);
    let album = "album = \"Kept\"\nruler = \"1/8 in\"\nsupplies = [\"shelf.toml\"]\n\
        [[leaf]]\nname = \"shore\"\nbag = \"small bag\"\ncount = 2\nback_mat = \"none\"\nfront_mat = \"sand\"\n\
        [[bag]]\nname = \"small bag\"\nsize = \"4 3/8 x 5 3/4 in\"\n";
    let path = written(folder.path(), "album.toml", album);
    let next = folder.path().join("next.toml");
    let next = next.to_str().expect("a name");
    let answer = json(&["cut", &path, "--offcuts", next]);
    let uncut: Vec<(&str, &str)> = answer["offcuts"]
        .as_array()
        .expect("offcuts")
        .iter()
        .filter(|o| o["uncut"] == true)
        .map(|o| {
            let text = |v: &'static str| o[v]["text"].as_str().expect("a length");
            (o["paper"].as_str().expect("a paper"), text("height"))
        })
        .collect();
    assert!(
        uncut.contains(&("moss", "6 in")) && uncut.contains(&("", "8 in")),
        "{uncut:?}"
    );
    let said = fs::read_to_string(next).expect("the offcuts");
    assert!(
        said.contains("paper = \"moss\"\nsize = \"5 x 6 in\"\ncount = 2"),
        "{said}"
    );
    assert!(said.contains("size = \"7 x 8 in\"\ncount = 1"), "{said}");
}

#[test]
fn what_is_read_is_not_written_over() {
    let lines = "name,width,height,count\ncard,6 in,3 in,4\n";
    let (folder, path) = pieces(lines);
    let plain = ["cut", "--pieces", &path, "--sheet", "12 x 12 in", "--force"];
    for option in ["--offcuts", "-o"] {
        let message = refused(&[&plain[..], &[option, &path]].concat());
        assert!(
            message.contains("name another file to write to"),
            "{message}"
        );
    }
    assert_eq!(fs::read_to_string(&path).expect("the list"), lines);
    let one = folder.path().join("one.toml");
    let one = one.to_str().expect("a name");
    let message = refused(&[&plain[..], &["-o", one, "--offcuts", one]].concat());
    assert!(message.contains("would be one file"), "{message}");
    assert!(!Path::new(one).exists());
}
