//! What each part says.

use crate::seen::{Desk, shipped};
use tuckwright::open::sight::Side;

/// The demo album with its tag as high as this.
fn with_tag(height: &str) -> String {
    let text = shipped("low-water");
    let with = text.replace("height = \"4 in\"", &format!("height = \"{height}\""));
    assert_ne!(with, text);
    with
}

#[test]
fn an_album_that_fits_is_shown_whole() {
    let mut desk = Desk::of(&shipped("low-water"));
    desk.look.leaf = 1;
    desk.look.piece = "photo_mat".to_owned();
    desk.show("fits", 520);
    let parts = desk.parts(520);
    assert!(parts["strip"].contains("It fits."), "{}", parts["strip"]);
    assert!(parts["bag"].contains("4 of small brown") && parts["bag"].contains("7 5/8 in"));
    assert!(
        parts["pieces"].contains("5 1/8 × 5 in"),
        "{}",
        parts["pieces"]
    );
    assert!(parts["leaf"].contains("<svg"));
    desk.look.side = Side::Open;
    desk.show("open", 520);
    desk.look.side = Side::Front;
    desk.look.view = tuckwright::open::sight::View::Album;
    desk.show("album", 520);
    desk.look.view = tuckwright::open::sight::View::Template;
    desk.show("template", 520);
}

/// Strip, drawing and list speak of the same number.
#[test]
fn a_tag_that_is_too_high_is_so_in_one_number() {
    let before = Desk::of(&shipped("low-water"));
    let mut desk = Desk::of(&with_tag("9 in")).after(&before);
    desk.look.leaf = 1;
    desk.look.piece = "species_tag".to_owned();
    desk.show("clash", 520);
    let parts = desk.parts(520);
    for part in [&parts["strip"], &parts["pieces"], &parts["bag"]] {
        assert!(part.contains("3 1/2 in too high"), "{part}");
    }
    assert!(
        parts["leaf"].contains("3½\u{a0}in too high"),
        "{}",
        parts["leaf"]
    );
    assert!(parts["leaf"].contains("class=\"leaf pale\""));
    let button = "Cut the species tag (shore) to 5 1/2 in high";
    assert!(
        parts["strip"].contains(button) && parts["pieces"].contains(button),
        "{}",
        parts["strip"]
    );
    // Nothing that a maker types into a file.
    for part in [&parts["strip"], &parts["pieces"]] {
        assert!(
            !part.contains('`') && !part.contains("species_tag.height"),
            "{part}"
        );
    }
}

#[test]
fn a_slip_in_the_text_names_its_line() {
    let before = Desk::of(&shipped("low-water"));
    let desk = Desk::of(&with_tag("9 im")).after(&before);
    desk.show("slip", 520);
    let parts = desk.parts(520);
    assert!(parts["strip"].contains("line 61"), "{}", parts["strip"]);
    assert!(parts["leaf"].contains("class=\"leaf pale\""));
}

#[test]
fn what_a_maker_names_stays_text() {
    let name = "<script>alert(1)</script> & \\\"co\\\"";
    let text = shipped("low-water").replace("Low Water, four Saturdays", name);
    let text = text.replace("name = \"shore\"", "name = \"<b>shore</b>\"");
    let parts = Desk::of(&text).parts(520);
    for (id, html) in parts {
        assert!(
            !html.contains("<script") && !html.contains("<b>"),
            "{id}: {html}"
        );
    }
}

/// Strict rules of the browser refuse them.
#[test]
fn nothing_has_a_style_or_a_script_of_its_own() {
    for name in ["low-water", "hut-book"] {
        let mut desk = Desk::of(&shipped(name));
        for side in [Side::Front, Side::Back, Side::Both, Side::Open] {
            desk.look.side = side;
            for (id, html) in desk.parts(520) {
                for refused in [" style=", "<script", " onclick", "javascript:", "<style"] {
                    assert!(!html.contains(refused), "{name} {id}: {refused}");
                }
            }
        }
    }
}

/// Every kind that is shipped can be chosen, by its title.
#[test]
fn kinds_of_album_can_be_chosen() {
    let parts = Desk::of(&shipped("low-water")).parts(520);
    for (name, _) in tuckwright::style::shipped::SHIPPED {
        assert!(
            parts["stock"].contains(&format!("value=\"{name}\"")),
            "{name}"
        );
    }
    assert!(
        parts["stock"].contains("selected>Upright leaves"),
        "{}",
        parts["stock"]
    );
}

/// A letter is pencilled on a cut piece: no two pieces of a leaf have the same one.
#[test]
fn no_letter_is_that_of_two_pieces() {
    for name in ["low-water", "hut-book"] {
        let mut desk = Desk::of(&shipped(name));
        desk.look.side = Side::Both;
        let html = desk.parts(520)["pieces"].clone();
        assert!(html.contains("<tr data-key=\"f-row"), "{html}");
        for table in html.split("<table>").skip(1) {
            let rows = table.split("<tr data-key=\"f-row").skip(1);
            let rows = rows.map(|row| {
                let of = |mark: &str| row.split_once(mark)?.1.split('<').next();
                (of("class=\"tab\">"), of("&quot;}\">"))
            });
            let rows: Vec<_> = rows.collect();
            for (n, (letter, piece)) in rows.iter().enumerate() {
                let twice = rows[..n].iter().find(|(it, _)| it == letter);
                assert!(twice.is_none_or(|(_, it)| it == piece), "{name}: {rows:?}");
            }
        }
    }
}
