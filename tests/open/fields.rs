//! What a box changes in the text of an album: one value, and nothing else.

use super::client::ALBUM;
use tuckwright::album::field::{Field, FieldError};
use tuckwright::length::Ruler;

fn inch() -> Ruler {
    Ruler::parse("1/8 in").expect("a ruler")
}

fn set(text: &str, path: &[&str], typed: &str) -> Result<String, FieldError> {
    let mut field = Field::of(text, &[super::client::SUPPLIES], inch())?;
    field.set(path, typed)?;
    Ok(field.text())
}

/// How photos are dealt out, how one lies, and what is printed of a pad of designs.
#[test]
fn photos_and_designs_have_boxes_of_their_own() {
    let photo = ["leaf", "shore", "insert", "photo_mat", "photo"];
    let [one] = ["lies"].map(|key| [&photo[..], &[key]].concat());
    let text = set(ALBUM, &one, "across").expect("a photo");
    assert!(text.contains("photo = { lies = \"across\" }"), "{text}");
    assert_eq!(set(&text, &one, "").expect("a photo"), ALBUM);
    let dealt = |key: &str, typed: &str| set(ALBUM, &["photos", key], typed);
    for (key, typed, line) in [
        ("turn", "yes", "turn = true"),
        ("resize", "yes", "resize = true"),
        ("order", "free", "order = \"free\""),
        ("for", "worst", "for = \"worst\""),
        ("most_cut", "10 %", "most_cut = \"10 %\""),
        ("coarsest", "200", "coarsest = 200"),
        (
            "facing",
            "boat + pier; gull+crab;",
            "facing = [[\"boat\", \"pier\"], [\"gull\", \"crab\"]]",
        ),
        // What is no pair stays as it is typed, for the reader to refuse.
        ("facing", "boat", "facing = [[\"boat\"]]"),
        (
            "stays",
            "boat: shore 2; gull: cover",
            "stays = { boat = \"shore 2\", gull = \"cover\" }",
        ),
        ("stays", "boat", "stays = \"boat\""),
    ] {
        let text = dealt(key, typed).expect(key);
        assert!(text.contains(&format!("{line}\n")), "{text}");
    }
    // `show` and `most_cut` say the same thing.
    let whole = ALBUM.replace("coarsest = 150", "show = \"whole\"");
    let cut = set(&whole, &["photos", "most_cut"], "5 %").expect("a share");
    assert_eq!(
        cut,
        whole
            .replace("show = \"whole\"\n", "most_cut = \"5 %\"\n")
            .as_str()
    );
    // Which files are read is not a browser's to say.
    assert_eq!(dealt("list", "/etc/passwd"), Err(FieldError::NoField));
    assert_eq!(dealt("folder", "/"), Err(FieldError::NoField));
    let pad =
        "[[paper]]\nname = \"pad\"\nsize = \"6 x 6 in\"\ndesigns = [\"fern\", \"moss\"] # of 2\n";
    let with = |path: &[&str], text: &str, typed: &str| {
        set(text, &[&["paper", "pad"][..], path].concat(), typed)
    };
    let names = with(&["designs"], pad, "fern, moss,oak").expect("designs");
    assert!(
        names.contains("designs = [\"fern\", \"moss\", \"oak\"] # of 2"),
        "{names}"
    );
    let moss = with(&["designs", "moss", "sides"], pad, "2").expect("a design");
    let moss = with(&["designs", "moss", "sheets"], &moss, "3").expect("a design");
    assert!(
        moss.contains("[\"fern\", { name = \"moss\", sides = 2, sheets = 3 }] # of 2"),
        "{moss}"
    );
    // What is said of one stays where others come and go.
    let fewer = with(&["designs"], &moss, "moss").expect("designs");
    assert!(
        fewer.contains("[{ name = \"moss\", sides = 2, sheets = 3 }]"),
        "{fewer}"
    );
    assert!(with(&["designs", "elm", "sides"], pad, "2").is_err());
    assert!(
        with(&["sides"], pad, "2")
            .expect("sides")
            .contains("sides = 2")
    );
}

#[test]
fn one_value_is_another_and_its_comment_stays() {
    for (path, typed, old, new) in [
        (
            &["album"][..],
            "Tides",
            "album = \"Low Water, four Saturdays\"",
            "album = \"Tides\"",
        ),
        (&["template", "holes"], "4", "holes = 3", "holes = 4"),
        (
            &["set", "caption_strip"],
            "1/2",
            "caption_strip = \"3/4 in\" ",
            "caption_strip = \"1/2 in\" ",
        ),
        (&["leaf", "shore", "count"], "7", "count = 4", "count = 7"),
        (
            &["leaf", "shore", "insert", "sketch", "show"],
            "3/4",
            "show = \"1/2 in\" ",
            "show = \"3/4 in\" ",
        ),
        (&["leaf", "cover", "turned"], "no", "turned = true\n", ""),
        (
            &["leaf", "cover", "insert", "title", "width"],
            "3 1/2",
            "size = \"3 x 2 in\"",
            "size = \"3 1/2 x 2 in\"",
        ),
        (
            &["leaf", "cover", "insert", "title", "width"],
            "",
            "size = \"3 x 2 in\"\npaper = \"shell card\"\n",
            "paper = \"shell card\"\nheight = \"2 in\"\n",
        ),
        (
            &["leaf", "ledger", "band"],
            "",
            "band = \"wave print\"\n",
            "",
        ),
        (
            &["leaf", "ledger", "insert", "back_print", "photo", "print"],
            "",
            "photo = { print = \"postcard print\" }",
            "photo = true",
        ),
        (
            &["leaf", "ledger", "insert", "back_print", "photo", "shape"],
            "2:3",
            "{ print = \"postcard print\" }",
            "{ print = \"postcard print\", shape = \"2:3\" }",
        ),
    ] {
        let text = set(ALBUM, path, typed).unwrap_or_else(|why| panic!("{path:?}: {why}"));
        assert!(ALBUM.contains(old), "{old}");
        assert_eq!(text, ALBUM.replacen(old, new, 1), "{path:?}");
    }
}

#[test]
fn a_value_that_was_not_there_is_put_to_its_own() {
    let text = set(ALBUM, &["leaf", "shore", "given", "front_mat.width"], "4").expect("a size");
    assert!(
        text.contains("given = { \"front_mat.width\" = \"4 in\" }\n"),
        "{text}"
    );
    let gone = set(&text, &["leaf", "shore", "given", "front_mat.width"], "").expect("no size");
    assert_eq!(gone, ALBUM);
    let text = set(ALBUM, &["template", "edge"], "1/2").expect("an edge");
    assert!(
        text.contains("punch = \"single hand punch\"\nedge = \"1/2 in\"\n"),
        "{text}"
    );
    // What takes nothing away from what is not there changes nothing.
    assert_eq!(
        set(ALBUM, &["template", "edge"], "").expect("nothing"),
        ALBUM
    );
    assert_eq!(
        set(ALBUM, &["leaf", "shore", "measured", "a.b"], "").expect("nothing"),
        ALBUM
    );
}

#[test]
fn a_bag_of_the_supplies_is_copied_before_it_is_changed() {
    let text = set(ALBUM, &["bag", "small brown", "width"], "5 3/8").expect("a bag");
    assert_eq!(
        text.matches("bag = \"small brown, changed\"").count(),
        2,
        "{text}"
    );
    assert!(
        text.contains("name = \"small brown, changed\"\nsize = \"5 3/8 x 7 5/8 in\""),
        "{text}"
    );
    // The next key of the same box goes there too.
    let again = set(&text, &["bag", "small brown", "width"], "5 1/2").expect("a bag");
    assert_eq!(again, text.replace("5 3/8 x 7 5/8", "5 1/2 x 7 5/8"));
    let pocket = set(
        &text,
        &["bag", "small brown, changed", "pocket", "depth"],
        "2 1/2",
    );
    assert!(pocket.expect("a pocket").contains("depth = \"2 1/2 in\""));
}

#[test]
fn a_name_is_another_wherever_it_stands() {
    let text = set(
        ALBUM,
        &["leaf", "shore", "insert", "photo_mat", "name"],
        "picture",
    )
    .expect("a name");
    assert!(
        text.contains("largest picture.photo") && !text.contains("photo_mat"),
        "{text}"
    );
    let tag = ["leaf", "shore", "insert", "species_tag", "name"];
    assert_eq!(set(ALBUM, &tag, "Species  tag").as_deref(), Ok(ALBUM));
    assert!(
        set(ALBUM, &tag, "Tag, No. 2")
            .expect("a name")
            .contains("name = \"tag_no_2\"")
    );
    assert_eq!(set(ALBUM, &tag, "..."), Err(FieldError::Needed));
    let text = set(ALBUM, &["leaf", "shore", "name"], "sand").expect("a name");
    assert_eq!(text, ALBUM.replace("name = \"shore\"", "name = \"sand\""));
    let wish = ALBUM.replace("largest photo_mat.photo", "largest shore: photo_mat.photo");
    let text = set(&wish, &["leaf", "shore", "name"], "sand").expect("a name");
    assert!(text.contains("\"largest sand: photo_mat.photo\""), "{text}");
    let text = set(ALBUM, &["paper", "wave print", "name"], "waves").expect("a name");
    assert!(
        !text.replace("name = \"waves\"", "").contains("wave print"),
        "{text}"
    );
    assert!(matches!(
        set(ALBUM, &["leaf", "shore", "name"], "cover"),
        Err(FieldError::Taken { .. })
    ));
}

#[test]
fn what_an_album_cannot_be_without_stays() {
    for path in [
        &["album"][..],
        &["ruler"],
        &["leaf", "shore", "bag"],
        &["leaf", "shore", "name"],
        &["bag", "small brown", "height"],
    ] {
        assert_eq!(set(ALBUM, path, ""), Err(FieldError::Needed), "{path:?}");
    }
    for path in [&["supplies"][..], &["leaf"], &["accept", "x", "by"], &[]] {
        assert!(set(ALBUM, path, "x").is_err(), "{path:?}");
    }
}

#[test]
fn a_pocket_is_gone_without_its_edge() {
    let text = "[[bag]]\nname = \"brown\"\nsize = \"5 x 8 in\"\npocket = { edge = \"3 in\", depth = \"2 in\" }\n";
    let path = ["bag", "brown", "pocket"];
    let without = set(text, &[&path[..], &["edge"]].concat(), "").expect("it can be");
    assert_eq!(without, "[[bag]]\nname = \"brown\"\nsize = \"5 x 8 in\"\n");
    let shallow = set(text, &[&path[..], &["depth"]].concat(), "").expect("it can be");
    assert!(!shallow.contains("depth"), "{shallow}");
}

#[test]
fn three_measures_of_a_packet_fill_a_bag() {
    let text = "[[bag]]\nname = \"brown\"\nsize = \"5 x 8 in\" # flat\n";
    for typed in ["5 3/8 x 3 1/8 x 10 1/2 in", "5 3/8 x 3 1/8 x 10 1/2"] {
        let filled = set(text, &["bag", "brown", "width"], typed).expect("three measures");
        assert!(
            filled.contains("size = \"5 3/8 x 10 1/2 in\" # flat"),
            "{filled}"
        );
        assert!(filled.contains("gusset = \"3 1/8 in\""), "{filled}");
    }
}

#[test]
fn a_leaf_moves_with_all_that_is_in_it_and_back() {
    let order = |text: &str| {
        let album: toml::Table = text.parse().expect("TOML");
        let leaves = album["leaf"].as_array().expect("leaves").clone();
        let name = |leaf: &toml::Value| leaf["name"].as_str().expect("a name").to_owned();
        (leaves.iter().map(name).collect::<Vec<_>>(), leaves)
    };
    let moved = |text: &str, name: &str, forward: bool| {
        let mut field = Field::of(text, &[super::client::SUPPLIES], inch()).expect("TOML");
        field.shift("leaf", name, forward).map(|()| field.text())
    };
    let forward = moved(ALBUM, "shore", true).expect("it is second");
    let ((names, leaves), (before, all)) = (order(&forward), order(ALBUM));
    assert_eq!(names, ["shore", "cover", "ledger"]);
    assert_eq!(before, ["cover", "shore", "ledger"]);
    assert_eq!((&leaves[0], &leaves[1]), (&all[1], &all[0]));
    let mut lines: Vec<&str> = forward.lines().collect();
    let mut lines_before: Vec<&str> = ALBUM.lines().collect();
    lines.sort_unstable();
    lines_before.sort_unstable();
    assert_eq!(lines, lines_before);
    assert_eq!(moved(&forward, "shore", false).expect("back"), ALBUM);
    assert!(moved(ALBUM, "cover", true).is_err());
    assert!(moved(ALBUM, "ledger", false).is_err());
    let short = "leaf = [{ name = \"a\", bag = \"b\" }, { name = \"c\", bag = \"b\" }]\n";
    assert_eq!(
        order(&moved(short, "c", true).expect("it is second")).0,
        ["c", "a"]
    );
}

#[test]
fn lines_end_as_they_did() {
    let text = set(
        &ALBUM.replace('\n', "\r\n"),
        &["leaf", "shore", "count"],
        "5",
    )
    .expect("a count");
    assert_eq!(
        text,
        ALBUM
            .replace("count = 4", "count = 5")
            .replace('\n', "\r\n")
    );
}

#[test]
fn what_is_tucked_in_is_a_piece_a_photo_or_a_card() {
    let tag = ["leaf", "shore", "insert", "species_tag", "what"];
    let card = set(ALBUM, &tag, "card:tide table").expect("a card");
    let words = "grip = \"string\"\npaper = \"shell card\"\ncard = \"tide table\"\n";
    assert!(card.contains(words), "{card}");
    assert!(!card.contains("width = \"2 in\"") && !card.contains("height = \"4 in\""));
    let photo = set(&card, &tag, "photo").expect("a photo");
    assert_eq!(photo.matches("card = \"tide table\"").count(), 1, "{photo}");
    assert_eq!(photo.matches("photo = true").count(), 2, "{photo}");
    let piece = set(&photo, &tag, "piece").expect("a piece");
    assert_eq!(piece.matches("photo = true").count(), 1, "{piece}");
}

/// Whatever is typed wherever: what is taken is TOML and says the same when it is typed again; what is
/// refused changes nothing, as it gives no text.
#[test]
fn any_text_in_any_box_leaves_a_text_that_can_be_read() {
    let paths: &[&[&str]] = &[
        &["album"],
        &["ruler"],
        &["prefer"],
        &["template", "holes"],
        &["template", "edge"],
        &["set", "caption_strip"],
        &["set", "a b.c"],
        &["papers", "x"],
        &["given", "board.width"],
        &["leaf", "shore", "count"],
        &["leaf", "shore", "name"],
        &["leaf", "shore", "front_mat"],
        &["leaf", "shore", "given", "front_mat.width"],
        &["leaf", "shore", "turned"],
        &["leaf", "shore", "insert", "species_tag", "height"],
        &["leaf", "shore", "insert", "species_tag", "photo", "shape"],
        &["leaf", "shore", "insert", "sketch", "name"],
        &["leaf", "ledger", "insert", "finds", "width"],
        &["leaf", "cover", "insert", "title", "height"],
        &["leaf", "cover", "insert", "title", "what"],
        &["bag", "small brown", "width"],
        &["bag", "small brown", "pocket", "depth"],
        &["bag", "small brown", "name"],
        &["paper", "wave print", "size"],
        &["card", "tide table", "height"],
        &["ring", "one inch ring", "inside"],
        &["punch", "single hand punch", "reach"],
        &["print", "square print", "price"],
    ];
    let texts = [
        "",
        " ",
        "4",
        "4 3/8",
        "4⅜",
        "4 3/8\"",
        "111 mm",
        "1 x 2 in",
        "yes",
        "no",
        "true",
        "none",
        "a\nb",
        "\"",
        "'",
        "'''",
        "\"\"\"",
        "\\",
        "#",
        "]",
        "[x]",
        "= 1",
        "\u{0}",
        "\u{7f}",
        "\u{202e}",
        "é",
        "👜",
        "-1",
        "1e400",
        "9999999999999999999999",
        "photo",
        "card:tide table",
        "shore",
        "small brown",
        "\r\n",
        "\t",
    ];
    let mut text = ALBUM.to_owned();
    // Each change is made on what the ones before it left, in an order that goes all about.
    for n in 0..paths.len() * texts.len() {
        let path = paths[n * 11 % paths.len()];
        let typed = texts[(n * 7 + n / texts.len()) % texts.len()];
        let Ok(after) = set(&text, path, typed) else {
            continue;
        };
        let table = after.parse::<toml::Table>();
        assert!(table.is_ok(), "{path:?} {typed:?}: {table:?}");
        // A name leads elsewhere once it is another.
        if path.last() != Some(&"name") {
            let again = set(&after, path, typed);
            assert_eq!(again.as_ref(), Ok(&after), "{path:?} {typed:?}");
        }
        text = match n % 40 {
            39 => ALBUM.to_owned(),
            _ => after,
        };
    }
}
