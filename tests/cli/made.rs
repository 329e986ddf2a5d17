//! Kinds of album that a maker writes: what a style says falsely is said of the style, and what it says is done.

use super::*;
use std::fs;
use tempfile::TempDir;

/// A sheath round a pad, with words of its style or its album changed.
fn sheath(changes: &[(&str, &str)]) -> (TempDir, String) {
    kind("sheath", changes)
}

/// The same of sacks in a row.
fn pennants(changes: &[(&str, &str)]) -> (TempDir, String) {
    kind("pennants", changes)
}

/// A hole above the tag: without the tag it has no place.
const ABOVE_THE_TAG: (&str, &str) = (
    "up = 'sheath.height - finger_in'",
    "up = 'tag.height + finger'",
);

#[test]
fn what_a_style_says_falsely_is_no_mistake_of_the_program() {
    for (change, said) in [
        (
            (
                "finger_in = { value = \"1 in\"",
                "finger_in = { value = \"9 in\"",
            ),
            "lies 3 7/8 in beyond the closed end of `sheath`",
        ),
        (
            ("tag = \"scrap\"", "tag = \"none\""),
            "reads `tag.height` here, which this album does not have",
        ),
        (
            ("count = 'cards'", "count = 'cards / 4'"),
            "this count of `card` comes to 1/2",
        ),
        (
            ("left = '0', low", "width = 'sheath.width', low"),
            "the width of `tag` is 2 7/8 in, and 6 1/8 in between its ends here",
        ),
    ] {
        let (_folder, file) = match (said.contains("tag.height"), said.contains("ends")) {
            (true, _) => sheath(&[change, ABOVE_THE_TAG]),
            (_, true) => sheath(&[change]),
            _ => sheath(&[change, ("tag = \"scrap\"", "tag = \"none\"")]),
        };
        for verb in ["fit", "why", "rules", "cut", "price"] {
            let err = refused(&[verb, &file]);
            assert!(
                err.contains(said) && err.contains("style.toml, line"),
                "{verb}: {err}"
            );
        }
    }
}

#[test]
fn no_fix_is_offered_after_which_the_style_says_falsely_where_something_lies() {
    let small = (
        "name = \"scrap\"\nsize = \"6 x 6 in\"",
        "name = \"scrap\"\nsize = \"1 x 1 in\"",
    );
    let least = (
        "'tag.width + play <= pad_wide'",
        "'tag.width + play <= pad_wide', 'finger + finger <= tag.width'",
    );
    let without = "eave the tag out";
    let (_folder, file) = sheath(&[small, least]);
    let (out, _) = told(&run(&["why", &file]), 1);
    assert!(line(&out).contains(without), "{out}");
    let (_folder, file) = sheath(&[small, least, ABOVE_THE_TAG]);
    let (out, _) = told(&run(&["why", &file]), 1);
    assert!(!line(&out).contains(without), "{out}");
}

#[test]
fn what_is_there_no_times_is_not_cut() {
    let (_folder, file) = sheath(&[("cards = { value = \"2\"", "cards = { value = \"0\"")]);
    assert!(!done(&["fit", &file]).contains("card "));
    assert!(!done(&["cut", &file, "--sheet", "20 x 20 in"]).contains("card "));
    let steps = done(&["price", &file]);
    assert!(!steps.contains("the 0 cards"), "{steps}");
}

#[test]
fn nothing_is_cut_that_has_no_height() {
    let (_folder, file) = sheath(&[(
        "finger_in = { value = \"1 in\"",
        "finger_in = { value = \"4 3/8 in\"",
    )]);
    let (out, _) = told(&run(&["fit", &file]), 0);
    assert!(out.contains("tag     2 7/8 x 1/8 in"), "{out}");
    let (_folder, file) = sheath(&[
        (
            "finger_in = { value = \"1 in\"",
            "finger_in = { value = \"5 1/8 in\"",
        ),
        ("size = \"8 1/2 x 11 in\"", "size = \"11 x 5 3/4 in\""),
    ]);
    let (out, _) = told(&run(&["fit", &file]), 1);
    assert!(
        line(&out).contains("The tag leaves the finger hole free"),
        "{out}"
    );
}

/// All that is written on the pages of a printout.
fn printed(file: &str) -> String {
    let pages = pages(file, &[]).concat();
    pages.replace(['\u{a0}', '\u{202f}'], " ")
}

/// Two holes that stand beside each other.
const TWO: (&str, &str) = (
    "across = 'pad_wide / 2'",
    "across = 'pad_wide / 4 + finger_hole.place * pad_wide / 2', count = '2'",
);

#[test]
fn a_template_says_where_each_of_its_holes_is() {
    let (_folder, file) = sheath(&[TWO]);
    let all = printed(&file);
    for said in [
        "¾ in and 2¼ in from the seam",
        "SEAM: lay it at",
        "THIS SIDE UP",
    ] {
        assert!(all.contains(said), "{said}");
    }
    assert!(!all.contains("along its left edge"));
}

#[test]
fn a_template_that_fills_its_pages_has_its_words_on_one_of_their_own() {
    let wide = [
        TWO,
        ("value = \"3 in\"", "value = \"16 in\""),
        ("value = \"5 in\"", "value = \"26 in\""),
        ("8 1/2 x 11 in", "50 x 50 in"),
    ];
    let (_folder, file) = sheath(&wide);
    let all = printed(&file);
    for said in [
        "Print this page at 100 %, not fitted to the page",
        "Template, row 1 of 3 from the head, column 1 of 2 from the left",
        "Template, row 3 of 3 from the head, column 2 of 2 from the left",
    ] {
        assert!(all.contains(said), "{said}");
    }
}

#[test]
fn holes_that_stand_elsewhere_in_another_bag_need_another_template() {
    let (_folder, file) = pennants(&[]);
    let other = done(&["compare", &file, "--bag", "110 x 170 mm", "--leaf", "sack"]);
    assert!(other.contains("A new template"), "{other}");
    let same = done(&["compare", &file, "--bag", "100 x 150 mm", "--leaf", "sack"]);
    assert!(same.contains("the same template"), "{same}");
}

#[test]
fn each_hole_of_the_style_is_counted_with_its_layers() {
    let (_folder, file) = pennants(&[]);
    let all = line(&done(&["fit", &file, "--all"]));
    assert!(all.contains("(4, 4 layers"), "{all}");
    assert!(!all.contains(" a eyelet"), "{all}");
}

#[test]
fn without_leaves_the_closed_size_is_that_of_the_style() {
    let (_folder, file) = sheath(&[]);
    let price = json(&["price", &file, "--json"]);
    assert!(price.to_string().contains("\"3 1/8 in\""), "{price:#}");
}

#[test]
fn parts_of_the_album_are_threaded_on_rings() {
    let bore = "count = 'cards'\nmarks = [{ name = \"bore\", across = 'card.width / 2', up = 'card.height - finger', diameter = 'play' }]\n[[choice]]\nname = \"ring\"\nfrom = \"rings\"\nwhy = \"what holds the cards\"";
    let loops = "[[ring]]\nname = \"loop\"\ninside = \"1 in\"\n[[paper]]\nname = \"scrap\"";
    let (_folder, file) = sheath(&[
        ("count = 'cards'", bore),
        ("[[paper]]\nname = \"scrap\"", loops),
    ]);
    let price = line(&done(&["price", &file]));
    assert!(price.contains("Rings: 1 of loop"), "{price}");
}

#[test]
fn a_bag_that_is_turned_over_is_not_called_its_leaf() {
    let (_folder, file) = pennants(&[]);
    let why = line(&done(&["why", &file, "--grow", "seal.height"]));
    assert!(why.contains("The height of bag, now 150 mm"), "{why}");
    let need = line(&done(&["why", &file, "--need", "bag: 60 x 90 mm"]));
    assert!(need.contains("The smallest bags, width x height"), "{need}");
}

#[test]
fn what_stands_out_of_a_leaf_counts_where_the_style_asks_for_it() {
    // A wish stands 20 mm out of a sack of 120 mm, before a board of 440 mm.
    for (closed, high) in [
        ("back.height", 440.0),
        ("leaf.height", 120.0),
        ("leaf.height + leaf.out_high + play", 144.0),
        ("leaf.height / 2", 60.0),
    ] {
        let said = format!("\"closed.height\" = '{closed}'");
        let (_folder, file) = pennants(&[("\"closed.height\" = 'back.height'", &said)]);
        let fit = json(&["fit", &file, "--json"]);
        assert_eq!(fit["closed"]["height"]["mm"], high, "{closed}");
    }
    let rule = ("3 * leaf.height + 4", "leaf.out_high + 3 * leaf.height + 4");
    let (_folder, file) = pennants(&[rule]);
    assert!(refused(&["fit", &file]).contains("known only when all sizes are"));
}

#[test]
fn what_would_take_without_end_is_refused() {
    // Each of these names reads the one before it twice.
    let names: String = (1..40)
        .map(|n| format!("\"n{n}.v\" = 'n{0}.v + n{0}.v'\n", n - 1))
        .collect();
    let names = format!("[name]\n\"n0.v\" = 'leaf.width'\n{names}");
    let many: Vec<String> = (0..12).map(|n| format!("\"l{n} in leaves\"")).collect();
    let many = format!("for = [{}]\nrequire = ['2 * l0.width", many.join(", "));
    let other = "[[leaf]]\nname = \"other\"\nbag = \"mint\"\n[[leaf]]\nname = \"third\"\nbag = \"mint\"\n[[bag]]";
    let include = "cautions = [\"blades\"]\ninclude = [\"a.toml\", \"a.toml\"]";
    for (changes, said) in [
        (
            vec![("[name]\n", names.as_str())],
            "`n12.v` comes from more than 10000 others",
        ),
        (
            vec![
                (
                    "for = [\"leaf in leaves\"]\nrequire = ['2 * leaf.width",
                    many.as_str(),
                ),
                ("3 * leaf.height", "3 * l0.height"),
                ("[[bag]]", other),
            ],
            "this `for` runs over more than 100000 things",
        ),
        (
            vec![("cautions = [\"blades\"]", include)],
            "takes over more than 64 files",
        ),
    ] {
        let (folder, file) = pennants(&changes);
        for (name, next) in [
            ("a", "b"),
            ("b", "c"),
            ("c", "d"),
            ("d", "e"),
            ("e", "f"),
            ("f", ""),
        ] {
            let next = format!("style = \"x\"\ninclude = [\"{next}.toml\", \"{next}.toml\"]\n");
            let text = if name == "f" {
                "style = \"x\"\n"
            } else {
                &next
            };
            fs::write(folder.path().join(format!("{name}.toml")), text).expect("a file");
        }
        let err = line(&refused(&["fit", &file]));
        assert!(err.contains(said), "{err}");
    }
}

#[test]
fn a_style_says_how_many_rings_there_are() {
    let choice =
        "[[choice]]\nname = \"ring\"\nfrom = \"rings\"\nwhy = \"what holds the cards\"\n[name]";
    let loops = "[[ring]]\nname = \"loop\"\ninside = \"1 in\"\n[[paper]]\nname = \"scrap\"";
    for (count, said) in [
        ("cards + 1", "Rings: 3 of loop"),
        ("cards / 4", "this count of `ring` comes to 1/2"),
    ] {
        let names = format!("{choice}\n\"ring.count\" = '{count}'");
        let (_folder, file) = sheath(&[("[name]", &names), ("[[paper]]\nname = \"scrap\"", loops)]);
        let (out, err) = (run(&["price", &file]).stdout, run(&["price", &file]).stderr);
        let all = String::from_utf8([out, err].concat()).expect("text");
        assert!(line(&all).contains(said), "{all}");
    }
}

/// Also over a shipped kind whose steps name the ring.
#[test]
fn a_style_over_a_shipped_one_counts_its_rings() {
    let style = "style = \"mine\"\ninclude = [\"upright\"]\n[name]\n\"ring.count\" = '2'\n";
    let album = "album = \"Two\"\nstyle = \"mine.toml\"\nruler = \"1 mm\"\n[template]\nholes = 3\n\
                 [[leaf]]\nname = \"leaf\"\nbag = \"kraft\"\n\
                 [[bag]]\nname = \"kraft\"\nsize = \"130 x 240 mm\"\n\
                 [[ring]]\nname = \"loop\"\ninside = \"25 mm\"\n";
    let (_folder, album) = laid(&[("mine.toml", style), ("album.toml", album)]);
    assert!(done(&["price", &album]).contains("Rings: 2 of loop"));
}

/// A picture of 4 x 6 in on a card that goes into a frame of 3 x 5 in: it is too wide and too high.
#[test]
fn a_clash_shows_all_that_a_rule_lacks() {
    let style = "style = \"mine\"\n[quantity]\n\
                 wide = { value = \"4 in\", why = \"picture\" }\nhigh = { value = \"6 in\", why = \"picture\" }\n\
                 frame_wide = { value = \"3 in\", why = \"frame\" }\nframe_high = { value = \"5 in\", why = \"frame\" }\n\
                 [[unknown]]\nname = \"card.width\"\nprefer = \"small\"\nwhy = \"cut size\"\n\
                 [[unknown]]\nname = \"card.height\"\nprefer = \"small\"\nwhy = \"cut size\"\n\
                 [[rule]]\nname = \"a picture goes on its card\"\nrequire = ['wide <= card.width', 'high <= card.height']\n\
                 because = \"a picture needs {left}; its card has {right}\"\nsource = \"made up\"\n\
                 [[rule]]\nname = \"a card goes into its frame\"\nrequire = ['card.width <= frame_wide', 'card.height <= frame_high']\n\
                 because = \"the card is {left}; its frame is {right}\"\nsource = \"made up\"\n\
                 [[part]]\nname = \"card\"\non = []\n";
    let album = "album = \"One\"\nstyle = \"mine.toml\"\nruler = \"1/8 in\"\nleaf = []\n\
                 papers = { card = \"card\" }\n[[paper]]\nname = \"card\"\nsize = \"12 x 12 in\"\n";
    let (_folder, album) = laid(&[("mine.toml", style), ("album.toml", album)]);
    let out = run(&["fit", &album]).stdout;
    let all = line(&String::from_utf8(out).expect("text"));
    for said in [
        "A picture needs 4 in; its card has 3 in. That is 1 in too little.",
        "A picture needs 6 in; its card has 5 in. That is 1 in too little.",
        "The card is 4 in; its frame is 3 in. That is 1 in too much.",
        "The card is 6 in; its frame is 5 in. That is 1 in too much.",
    ] {
        assert!(all.contains(said), "{said}: {all}");
    }
}

/// A plate 3 in wide in the middle of a leaf of 5 in begins 1 in from its edge, far from a hole at 1/4 in.
#[test]
fn a_piece_that_keeps_off_the_holes_is_not_warned_of_them() {
    for (thickens, warned) in [("", true), (", thickens = \"middle\"", false)] {
        let style = format!(
            "style = \"mine\"\ninclude = [\"upright\"]\n\
             [quantity]\nplate_wide = {{ value = \"3 in\", why = \"plate\" }}\n\
             [[unknown]]\nname = \"plate.width\"\nfor = [\"leaf in leaves\"]\nwhen = 'plate.wanted'\nprefer = \"large\"\nwhy = \"cut size\"\n\
             [[unknown]]\nname = \"plate.height\"\nfor = [\"leaf in leaves\"]\nwhen = 'plate.wanted'\nprefer = \"large\"\nwhy = \"cut size\"\n\
             [[rule]]\nname = \"a plate is small\"\nfor = [\"leaf in leaves\"]\nwhen = 'plate.wanted'\n\
             require = ['plate.width <= plate_wide', 'plate.height <= plate_wide']\nbecause = \"{{left}}; {{right}}\"\nsource = \"made up\"\n\
             [[part]]\nname = \"leaf\"\non = [{{ name = \"plate\", before = \"front_mat\", usual = \"none\"{thickens} }}]\n"
        );
        let album = "album = \"One\"\nstyle = \"mine.toml\"\nruler = \"1/8 in\"\n\
                     [[leaf]]\nname = \"leaf\"\nbag = \"kraft\"\nplate = \"card\"\n\
                     [[bag]]\nname = \"kraft\"\nsize = \"5 x 9 in\"\nbottom = \"pinch\"\n\
                     [[paper]]\nname = \"card\"\nsize = \"12 x 12 in\"\n";
        let (_folder, album) = laid(&[("mine.toml", &style), ("album.toml", album)]);
        let all = line(&done(&["fit", "--all", &album]));
        assert_eq!(
            all.contains("a mat 3 in wide, and nearer ones may cut its edge"),
            warned,
            "{all}"
        );
    }
}

#[test]
fn a_measure_that_only_a_place_reads_is_named() {
    let strip = "seam_at = { value = \"1/2 in\", metric = \"12 mm\", measure = true, why = \"seam\" }\ncards = {";
    let (_folder, file) = sheath(&[
        ("cards = {", strip),
        ("left = '0', low", "left = 'seam_at', low"),
    ]);
    assert!(done(&["fit", "--all", &file]).contains("(`seam_at`)"));
    let (_folder, file) = sheath(&[
        ("cards = {", strip),
        ("left = '0', low", "left = 'seam_at', low"),
        ("tag = \"scrap\"", "tag = \"none\""),
    ]);
    assert!(!done(&["fit", "--all", &file]).contains("(`seam_at`)"));
}

#[test]
fn a_part_may_be_called_like_a_key_that_has_no_text() {
    let (_folder, file) = pennants(&[("seal", "patch")]);
    assert!(done(&["fit", &file]).contains("patch"));
}

/// The plies of a folded bag that may lie behind its pocket are counted and not seen.
#[test]
fn what_lies_whole_behind_another_layer_is_not_drawn() {
    let text = "album = \"folded\"\nstyle = \"upright\"\nruler = \"1 mm\"\n[[leaf]]\nname = \"leaf\"\nbag = \"flat\"\n[[bag]]\nname = \"flat\"\nsize = \"130 x 240 mm\"\nfolded = \"180 mm\"\n";
    let (folder, album) = laid(&[("album.toml", text)]);
    let page = folder.path().join("page.html");
    done(&["print", &album, "--html", &page.display().to_string()]);
    let page = fs::read_to_string(page).expect("a page");
    assert!(page.contains("pocket"));
    for hidden in ["folded sides", "folded bottom", "folded flap", "97.5"] {
        assert!(!page.contains(hidden), "{hidden}");
    }
}

/// A flap of a flat bag has no gusset that it could be creased at.
#[test]
fn a_reason_speaks_of_no_gusset_where_there_is_none() {
    let asked = [
        "fit",
        "--all",
        "--bag",
        "6 1/8 x 11 1/4 in",
        "--pocket",
        "3 1/2 in",
    ];
    let said = done(&asked);
    assert!(line(&said).contains("slide down to the tail"), "{said}");
    assert!(!said.contains("half the gusset"), "{said}");
}
