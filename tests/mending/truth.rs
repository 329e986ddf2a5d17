//! Single albums, worked out by hand.

use super::*;
use tuckwright::explain::hand::{Ask, hand};
use tuckwright::explain::{Deed, Fix, FixList, Kind};
use tuckwright::plan::phrase::Phrase;

/// A leaf of a bag of 5 x 8 in with a gusset, and what is said of it; other tables in front.
fn album(front: &str, leaf: &str) -> Album {
    common::read(&format!(
        "album = \"A\"\nruler = \"1/8 in\"\n{front}\n[[bag]]\nname = \"brown\"\nsize = \"5 x 8 in\"\ngusset = \"3 in\"\n[[bag]]\nname = \"shallow\"\nsize = \"5 x 8 in\"\ngusset = \"1/2 in\"\n{leaf}"
    ))
}

fn leaf(name: &str, bag: &str, inserts: &str) -> String {
    format!("[[leaf]]\nname = \"{name}\"\nbag = \"{bag}\"\n{inserts}\n")
}

fn card(name: &str, size: &str) -> String {
    format!("[[leaf.insert]]\nname = \"{name}\"\nplace = \"mouth\"\nsize = \"{size}\"\n")
}

fn why_not(album: &Album) -> Explanation {
    explained(&common::upright(), album).expect("it does not fit")
}

/// Holes of 1/4 in want 1/4 in of paper: 3/16 in is a sixteenth too little, and holes of 1/8 in are
/// enough smaller.
#[test]
fn an_edge_that_is_too_small_is_made_larger() {
    let near = quick(Quick {
        edge: Some(interval("3/16 in")),
        ..bag("1/8 in", "5 1/8 in", "8 1/2 in")
    });
    let found = why_not(&near);
    assert!(!found.hopeless);
    assert_eq!(moves(&found, "template.edge"), [interval("1/4 in")]);
    // A hole that was not said is not the maker's to change.
    assert!(moves(&found, "template.diameter").is_empty());
    let both = quick(Quick {
        edge: Some(interval("3/16 in")),
        hole: Some(interval("1/4 in")),
        ..bag("1/8 in", "5 1/8 in", "8 1/2 in")
    });
    let found = why_not(&both);
    assert_eq!(moves(&found, "template.edge"), [interval("1/4 in")]);
    assert_eq!(moves(&found, "template.diameter"), [interval("1/8 in")]);
}

/// 1/4 + 1/8 + 1/8 + 4 3/8 + 1/8 in = 5 in, and a card of 0.01 in: a pinch bottom leaves no room for
/// that, a gusset does. A bag whose bottom is not known counts as the worse, and the answer names it.
#[test]
fn a_flat_bag_of_unknown_bottom_counts_as_the_worse() {
    let on = |bag: &str, card_size: &str| {
        let front = format!("[[bag]]\nname = \"flat\"\nsize = \"5 x 8 in\"\n{bag}");
        album(&front, &leaf("page", "flat", &card("note", card_size)))
    };
    let (wide, narrow) = ("4 3/8 x 5 in", "4 1/4 x 5 in");
    let found = why_not(&on("", wide));
    let [bottom] = &found.bottoms[..] else {
        panic!("{:?}", found.bottoms);
    };
    assert_eq!(
        (&*bottom.name, &bottom.value),
        ("bag.bottom", &Phrase::words("pinch or block"))
    );
    assert_eq!(explained(&common::upright(), &on("", narrow)), None);
    // A pinch bottom is no worse, and nothing is left to be said.
    let found = why_not(&on("bottom = \"pinch\"", wide));
    assert!(found.bottoms.is_empty());
    assert_eq!(
        explained(&common::upright(), &on("bottom = \"pinch\"", narrow)),
        None
    );
    // A gusset, or a flap, which no pinch bottom has; a pocket made otherwise tells nothing.
    for known in ["gusset = \"3 in\"", "pocket = { edge = \"3 in\" }"] {
        assert_eq!(
            explained(&common::upright(), &on(known, wide)),
            None,
            "{known}"
        );
    }
    let made = "pocket = { edge = \"3 in\", why = \"glued on\" }";
    assert_eq!(why_not(&on(made, wide)).bottoms.len(), 1);
}

/// A pocket deeper than it is high: less deep, or higher.
#[test]
fn a_pocket_is_moved_both_ways() {
    let deep = quick(Quick {
        pocket: Some(interval("2 in")),
        pocket_depth: Some(interval("2 1/4 in")),
        ..bag("1/8 in", "5 in", "8 in")
    });
    let found = why_not(&deep);
    assert_eq!(moves(&found, "pocket.edge"), [interval("2 1/4 in")]);
    assert_eq!(moves(&found, "pocket.depth"), [interval("2 in")]);
    // Measured on the leaf, it is the leaf's to change, not the bag's.
    let measured = "measured = { \"pocket.edge\" = \"2 in\", \"pocket.depth\" = \"2 1/4 in\" }";
    let found = why_not(&album("", &leaf("page", "brown", measured)));
    assert_eq!(moves(&found, "pocket.edge"), [interval("2 1/4 in")]);
    assert_eq!(moves(&found, "pocket.depth"), [interval("2 in")]);
}

/// A reveal that is too thin to cut has no price in the style; the maker set it, so it may change.
#[test]
fn a_quantity_that_the_album_sets_is_changed() {
    let thin = album(
        "[set]\nside_reveal = \"1/32 in\"",
        &leaf("page", "brown", ""),
    );
    let found = why_not(&thin);
    assert_eq!(moves(&found, "side_reveal"), [interval("1/8 in")]);
    assert!(!found.hopeless);
    // A strip below the photo that is thinner than its border: either may change.
    let strip = "[set]\nborder = \"1/4 in\"\ncaption_strip = \"1/8 in\"";
    let found = why_not(&album(strip, &leaf("page", "brown", "")));
    assert_eq!(moves(&found, "caption_strip"), [interval("1/4 in")]);
    assert_eq!(moves(&found, "border"), [interval("1/8 in")]);
    // Without a word in the album a border that gives may still be made smaller only where it helps.
    assert!(moves(&found, "ease").is_empty());
}

/// A share cannot be moved ruler step by ruler step: it goes back to what the style has.
#[test]
fn a_share_that_the_album_sets_goes_back() {
    let rings = "[[ring]]\nname = \"r\"\ninside = \"1 in\"\n";
    let far = format!("[set]\nedge_share = \"9\"\n[template]\nring = \"r\"\n{rings}");
    let found = why_not(&album(&far, &leaf("page", "brown", "")));
    assert!(!found.hopeless, "{:#?}", found.fixes);
    let usual = found.fixes.iter().flat_map(|list| &list.fixes).any(|fix| {
        matches!(&fix.changes[..], [FixChange::Usual { quantity, .. }] if quantity == "edge_share")
    });
    assert!(usual, "{:#?}", found.fixes);
}

/// A band needs 1/2 in and its reveals; a flap half an inch high has no room for it, and nothing that
/// the maker gave has a say in that. The card too wide for the other leaf has its own list.
#[test]
fn what_nothing_mends_stands_apart() {
    let words = leaf("page", "brown", &card("postcard", "5 x 6 in"))
        + &leaf(
            "cover",
            "shallow",
            "band = \"any\"\npocket_mat = \"none\"\nfront_mat = \"none\"\n",
        );
    let found = why_not(&album("", &words));
    let [mended, stuck] = &found.fixes[..] else {
        panic!("{:#?}", found.fixes);
    };
    assert!(!found.hopeless && mended.nothing_mends.is_empty());
    let width = |fix: &Fix| {
        matches!(&fix.changes[..], [FixChange::Measure { name, to, .. }]
            if name == "postcard.width" && *to == interval("4 3/8 in"))
    };
    assert!(mended.fixes.iter().any(width), "{mended:#?}");
    assert!(mended.fixes.iter().all(|fix| fix.sizes.is_some()));
    // No measure mends the cover: the band goes, or its bag, once the card is cut.
    let measures = |fix: &Fix| matches!(&fix.changes[..], [FixChange::Measure { .. }]);
    assert!(!stuck.fixes.iter().any(measures) && stuck.nothing_mends.is_empty());
    let deeds = |list: &FixList| {
        let fixes = list.fixes.iter();
        let deeds = fixes.filter_map(|fix| match &fix.changes[..] {
            [FixChange::Do(deed)] => Some(deed.clone()),
            _ => None,
        });
        deeds.collect::<Vec<Deed>>()
    };
    let band = |deed: &Deed| matches!(deed, Deed::Without { leaf, part } if leaf == "cover" && part == "band");
    let bag = |deed: &Deed| matches!(deed, Deed::Use { leaf, to, .. } if leaf == "cover" && to == "brown");
    assert!(
        deeds(stuck).iter().any(band) && deeds(stuck).iter().any(bag),
        "{stuck:#?}"
    );
    // Alone it is the only list.
    let words = leaf(
        "cover",
        "shallow",
        "band = \"any\"\npocket_mat = \"none\"\nfront_mat = \"none\"\n",
    );
    let found = why_not(&album("", &words));
    let [only] = &found.fixes[..] else {
        panic!("{:#?}", found.fixes);
    };
    assert!(deeds(only).iter().any(band) && deeds(only).iter().any(bag));
}

/// Two leaves of the same bag with the same card clash alike; with another card they do not.
#[test]
fn clashes_alike_are_told_with_every_leaf() {
    let two = |second: &str| {
        let words = leaf("page", "brown", &card("postcard", "5 x 6 in"))
            + &leaf("cover", "brown", &card("postcard", second));
        why_not(&album("", &words))
    };
    let found = two("5 x 6 in");
    assert!(found.all_clashes);
    // The width of each card; the heights fit.
    assert_eq!(found.clashes.len(), 1, "{:#?}", found.clashes);
    assert_eq!(found.clashes[0].speaks_of(), "page: postcard");
    assert_eq!(found.clashes[0].also, ["cover: postcard"]);
    let found = two("4 7/8 x 6 in");
    assert_eq!(found.clashes.len(), 2, "{:#?}", found.clashes);
    assert!(found.clashes.iter().all(|clash| clash.also.is_empty()));
}

/// `prefer` names the card with its leaf, and another leaf has a card of that name.
#[test]
fn a_card_that_a_preference_names_can_be_left_out() {
    let free = "[[leaf.insert]]\nname = \"note\"\nplace = \"mouth\"\n";
    let words =
        leaf("page", "brown", &format!("{free}width = \"5 in\"\n")) + &leaf("cover", "brown", free);
    for prefer in [
        "large page: note.height",
        "large note.height",
        "large cover: note.height",
    ] {
        let found = why_not(&album(&format!("prefer = [\"{prefer}\"]"), &words));
        let out = found.fixes.iter().flat_map(|list| &list.fixes);
        let mut out = out.filter(|fix| matches!(&fix.changes[..], [FixChange::LeaveOut { .. }]));
        assert!(
            out.next()
                .is_some_and(|fix| fix.sizes.is_some() && fix.proved),
            "{prefer}"
        );
        assert!(found.fixes.iter().all(|list| list.all), "{prefer}");
    }
}

/// Each list's fixes are tried with the others mended, by the first fix of each.
#[test]
fn lists_are_worked_out_with_the_first_of_the_others() {
    let words = leaf("page", "brown", &card("postcard", "5 x 6 in"))
        + &leaf(
            "cover",
            "brown",
            "measured = { \"pocket.edge\" = \"2 in\", \"pocket.depth\" = \"2 1/4 in\" }",
        );
    let album = album("", &words);
    let found = why_not(&album);
    assert_eq!(found.fixes.len(), 2, "{:#?}", found.fixes);
    for list in &found.fixes {
        assert!(
            list.fixes.iter().all(|fix| fix.sizes.is_some()),
            "{list:#?}"
        );
    }
}

/// 1/4 + 1/8 + 1/8 + 1/8 = 5/8 in is all that a leaf 5/8 in wide has: no width is left for a card, so
/// cutting it down is no fix. Its thickness takes a little of the 3/16 in that a wider leaf leaves.
#[test]
fn nothing_is_cut_down_to_nothing() {
    let words = "album = \"A\"\nruler = \"1/8 in\"\n[[bag]]\nname = \"b\"\nsize = \"5/8 x 8 in\"\n[[leaf]]\nname = \"l\"\nbag = \"b\"\n"
        .to_owned() + &card("slip", "3/8 x 6 in");
    let found = why_not(&common::read(&words));
    assert!(moves(&found, "slip.width").is_empty(), "{:#?}", found.fixes);
    let narrow = words.replace("5/8 x 8", "13/16 x 8");
    let found = why_not(&common::read(&narrow));
    assert_eq!(moves(&found, "slip.width"), [interval("1/8 in")]);
}

/// A hole of 1/8 in asks for 1/8 + 1/16 + 1/8 + 1/8 = 7/16 in beside a card of 1 in. Without a hole
/// a leaf of 1 11/32 in would do, but a hole of nothing is none.
#[test]
fn a_hole_is_not_made_nothing() {
    let words = "album = \"A\"\nruler = \"1/8 in\"\n[template]\ndiameter = \"1/8 in\"\n[[bag]]\nname = \"b\"\nsize = \"1 11/32 x 8 in\"\nbottom = \"pinch\"\n[[leaf]]\nname = \"l\"\nbag = \"b\"\n"
        .to_owned() + &card("slip", "1 x 6 in");
    let found = why_not(&common::read(&words));
    assert_eq!(moves(&found, "slip.width"), [interval("7/8 in")]);
    assert!(moves(&found, "template.diameter").is_empty());
}

/// A quantity with ± that gives: both ends move, and the worse one counts.
#[test]
fn a_quantity_that_varies_is_moved_as_a_whole() {
    let style = common::upright();
    let set = "[set]\nease = \"1/4 in ± 1/16 in\"\nhole_clear = \"1/8 in\"";
    let wide = album(
        set,
        &leaf("page", "brown", &card("postcard", "4 1/4 x 6 in")),
    );
    let found = why_not(&wide);
    // 1/4 + 1/8 + 1/8 + 4 1/4 leave 1/4 in, and 5/16 may be asked.
    assert_eq!(moves(&found, "ease"), [interval("1/16 in to 3/16 in")]);
    let with = |value: &str| {
        let set = set.replace("1/4 in ± 1/16 in", value);
        album(
            &set,
            &leaf("page", "brown", &card("postcard", "4 1/4 x 6 in")),
        )
    };
    assert!(fits(&style, &with("1/8 in ± 1/16 in")) && !fits(&style, &with("1/4 in ± 1/16 in")));
}

/// Upright 3 in must come off a strip of 3 x 9 in, turned on its side far more; of one of 6 x 3 in it
/// is the other way round.
#[test]
fn what_comes_off_least_is_first() {
    let album = quick(bag("1/8 in", "4 in", "6 1/2 in"));
    for (width, height, turned) in [("3 in", "9 in", false), ("6 3/4 in", "3 1/4 in", true)] {
        let ask = Ask {
            width: interval(width),
            height: interval(height),
            place: "mouth".into(),
            leaf: 0,
        };
        let tried = hand(&common::upright(), &album, &ask, &Limits::default()).expect("an album");
        let off = |n: usize| tried.trims[n].off_width.nm() + tried.trims[n].off_height.nm();
        assert!(tried.trims.len() > 1, "{:?}", tried.trims);
        assert!(
            (1..tried.trims.len()).all(|n| off(n - 1) <= off(n)),
            "{:?}",
            tried.trims
        );
        assert_eq!(tried.trims[0].turned, turned, "{:?}", tried.trims);
    }
}

/// What is said of a size that was measured, or of how much shows, both ways.
#[test]
fn measured_sizes_and_what_shows_are_changed() {
    let tall = |show: &str| {
        let words = leaf("page", "brown", &(card("note", "4 x 7 in") + show));
        album("", &words)
    };
    // 6 1/2 in of slot: 1/2 in shows.
    let found = why_not(&tall("show = \"1/4 in\"\n"));
    assert_eq!(moves(&found, "note.show"), [interval("1/2 in")]);
    assert_eq!(moves(&found, "note.height"), [interval("6 3/4 in")]);
    assert!(moves(&why_not(&tall("")), "note.show").is_empty());
    // A front mat that was cut too short to reach under the pocket's edge is made anew, higher.
    let short = "measured = { \"front_mat.height\" = \"5 in\" }";
    let found = why_not(&album("", &leaf("page", "brown", short)));
    let fixes = found.fixes.iter().flat_map(|list| &list.fixes);
    let higher = fixes.into_iter().find(|fix| {
        matches!(&fix.changes[..], [FixChange::Measure { kind: Kind::Made, name, .. }]
            if name == "front_mat.height")
    });
    // 8 + 3/8 - 3 - 1/16 = 5 5/16 in, on the ruler 5 3/8.
    let higher = higher.expect("a higher mat");
    assert!(
        matches!(&higher.changes[..], [FixChange::Measure { to, .. }] if *to == interval("5 3/8 in"))
    );
    // Or the mat that there is will do, if 5/16 in less is accepted: no whole number of steps.
    let mut fixes = found.fixes.iter().flat_map(|list| &list.fixes);
    let accepted = fixes.any(|fix| {
        matches!(&fix.changes[..], [FixChange::Accept { rule, by, .. }]
            if rule.starts_with("front mat leaves its head reveal")
                && Interval::exact(*by) == interval("5/16 in"))
            && fix.sizes.is_some()
    });
    assert!(accepted, "{:#?}", found.fixes);
}

/// Half a gusset of 1 in opens 1/2 in at the outer edge: of things 0.3, 0.3 and 0.02 in thick in one slot
/// either thick one has to go, and one is enough. With four thick ones three have to.
#[test]
fn one_thing_of_a_pile_is_left_out_and_not_each() {
    let pile = |things: &[(&str, &str, i64)]| {
        let inserts = things.iter().map(|(name, caliper, count)| {
            format!(
                "[[leaf.insert]]\nname = \"{name}\"\nplace = \"mouth\"\nsection = \"back\"\nsize = \"3 x 6 in\"\ncaliper = \"{caliper}\"\ncount = {count}\n"
            )
        });
        let words = "album = \"A\"\nruler = \"1/8 in\"\n[[bag]]\nname = \"b\"\nsize = \"5 x 8 in\"\ngusset = \"1 in\"\n[[leaf]]\nname = \"page\"\nbag = \"b\"\nfront_mat = \"none\"\n";
        common::read(&(words.to_owned() + &inserts.collect::<String>()))
    };
    let out = |fix: &Fix| {
        let names = fix.changes.iter().map(|change| match change {
            FixChange::LeaveOut { name, .. } => Some(name.clone()),
            _ => None,
        });
        names.collect::<Option<Vec<_>>>()
    };
    let three = pile(&[
        ("stub", "0.15 in", 2),
        ("map", "0.15 in", 2),
        ("slip", "0.02 in", 1),
    ]);
    let found = why_not(&three);
    let [list] = &found.fixes[..] else {
        panic!("{:#?}", found.fixes);
    };
    let names: Vec<_> = list.fixes.iter().filter_map(out).collect();
    assert_eq!(names, [["stub"], ["map"]]);
    assert!(list.all && list.fixes.iter().all(|fix| fix.sizes.is_some()));
    // No one of them is enough: one change from each list; with one of them less it does not fit.
    let four = pile(&[
        ("a", "0.15 in", 2),
        ("b", "0.15 in", 2),
        ("c", "0.15 in", 2),
        ("d", "0.15 in", 2),
    ]);
    let found = why_not(&four);
    let firsts = found.fixes.iter().map(|list| &list.fixes[0]);
    let changes: Vec<&FixChange> = firsts.flat_map(|fix| &fix.changes).collect();
    assert!(changes.len() > 1, "{:#?}", found.fixes);
    let style = common::upright();
    let mended = apply::apply(&four, changes.iter().copied()).expect("an album");
    let fewer = apply::apply(&four, changes[1..].iter().copied()).expect("an album");
    assert!(fits(&style, &mended) && !fits(&style, &fewer));
}

/// A thing that is in no clash may thin the pile: a note 4 in wide and a stack of slips 2 in wide beside
/// it in a flat bag. Holes and ease take 5/8 in of 5 in, the note 4 1/4 in, so 1/8 in is left for the
/// thickness of both.
#[test]
fn what_lies_beside_a_clashing_thing_can_be_left_out() {
    let words = "album = \"A\"\nruler = \"1/8 in\"\n[[bag]]\nname = \"b\"\nsize = \"5 x 8 in\"\nbottom = \"pinch\"\n[[leaf]]\nname = \"page\"\nbag = \"b\"\n[[leaf.insert]]\nname = \"note\"\nplace = \"mouth\"\nsize = \"4 1/4 x 6 in\"\n[[leaf.insert]]\nname = \"slips\"\nplace = \"mouth\"\nsize = \"2 x 6 in\"\ncount = 20\n";
    let found = why_not(&common::read(words));
    assert!(
        found
            .clashes
            .iter()
            .all(|clash| clash.speaks_of().contains("note"))
    );
    let fixes = found.fixes.iter().flat_map(|list| &list.fixes);
    let out = fixes.filter_map(|fix| match &fix.changes[..] {
        [FixChange::LeaveOut { name, .. }] => Some(name.as_str()),
        _ => None,
    });
    let mut out: Vec<&str> = out.collect();
    out.sort_unstable();
    assert_eq!(out, ["note", "slips"], "{:#?}", found.fixes);
}
