//! What does not fit, by how much, and what mends it: published failures and a maker's own.

use super::frames::{ENVELOPES, envelope};
use super::rings::ten_leaves;
use super::shop::*;
use tuckwright::explain::fixes::why;
use tuckwright::explain::hand::{Ask, hand};
use tuckwright::explain::{Explanation, Fix, FixChange, Kind};
use tuckwright::report::phrase::screen;
use tuckwright::solve::Limits;
use tuckwright::{Outcome, work};

fn explained(own: Option<&str>, text: &str) -> Explanation {
    let (style, album) = (style(own), album(text));
    let worked = work(&style, &album, &Limits::default()).expect("an album that the style knows");
    assert!(matches!(worked.outcome, Outcome::Clash(_)), "it fits");
    why(&style, &album, &worked, &Limits::default())
}

/// The fix that is this one change.
fn alone<'a>(found: &'a Explanation, is: &dyn Fn(&FixChange) -> bool) -> &'a Fix {
    let mut fixes = found.fixes.iter().flat_map(|list| &list.fixes);
    let fix = fixes.find(|fix| matches!(&fix.changes[..], [one] if is(one)));
    let fix = fix.expect("a fix of one change");
    assert!(fix.proved && fix.sizes.is_some(), "{fix:?}");
    fix
}

/// Common practice, no published source: a card of 4 x 6 in for the mouth of a leaf of
/// 4 3/8 x 5 3/4 in with holes of 1/4 in at 1/4 in and a section 5 1/4 in deep must lose a quarter
/// inch of width, 1/4 + 1/8 + 1/8 + 4 + 1/8 = 4 5/8 against 4 3/8; and of height 6 - 5 1/4 = 3/4.
#[test]
fn a_card_too_large_for_the_mouth() {
    let text =
        bare("1/8 in", "4 3/8 x 5 3/4 in", "").replace("bottom = \"pinch\"", "gusset = \"1 in\"");
    let (style, album) = (style(None), album(&text));
    let (width, height) = (interval("4 in"), interval("6 in"));
    let ask = Ask {
        width,
        height,
        place: "mouth".into(),
        leaf: 0,
    };
    let tried = hand(&style, &album, &ask, &Limits::default()).expect("an album");
    assert!(!tried.as_it_is && !tried.turned);
    let least = &tried.trims[0];
    assert_eq!(
        (least.off_width, least.off_height),
        (length("1/4 in"), length("3/4 in"))
    );
    assert!(!least.turned);
    assert_eq!(
        (least.width, least.height),
        (interval("3 3/4 in"), interval("5 1/4 in"))
    );
    // Turned, 2 1/4 in of its length must go.
    assert!(
        tried
            .trims
            .iter()
            .any(|t| t.turned && t.off_width == length("2 1/4 in"))
    );

    let told = tried.why.expect("why not");
    assert!(told.all_clashes);
    let members = told.clashes.iter().flat_map(|c| &c.members);
    let sentences: Vec<String> = members
        .filter_map(|m| Some(screen(album.ruler, m.because.as_ref()?)))
        .collect();
    let wide = sentences
        .iter()
        .find(|s| s.contains("4 5/8 in"))
        .expect("its width");
    for word in [
        "hole's centre",
        "1/8 in clear",
        "1/8 in ease",
        "the leaf is 4 3/8 in wide",
    ] {
        assert!(wide.contains(word), "{wide}");
    }
    let missing: Vec<_> = told
        .clashes
        .iter()
        .flat_map(|c| &c.members)
        .filter(|m| m.name.starts_with("a pull-out"))
        .collect();
    assert!(
        missing.iter().any(|m| m.short == Some(length("1/4 in"))),
        "{missing:?}"
    );
    assert!(
        missing.iter().any(|m| m.short == Some(length("3/4 in"))),
        "{missing:?}"
    );

    // A card that has lost them goes in; one with a step more does not.
    let goes = |w: &str, h: &str| {
        let ask = Ask {
            width: interval(w),
            height: interval(h),
            ..ask.clone()
        };
        hand(&style, &album, &ask, &Limits::default())
            .expect("an album")
            .as_it_is
    };
    assert!(goes("3 3/4 in", "5 1/4 in"));
    assert!(!goes("3 7/8 in", "5 1/4 in") && !goes("3 3/4 in", "5 3/8 in"));
}

/// The print shop's ring again: 1 mm too much at each side with holes at 12 mm, mended at 11 mm.
/// Read.
#[test]
fn the_published_ring_is_mended_at_11_mm() {
    let found = explained(None, &ten_leaves("12 mm"));
    let [clash] = &found.clashes[..] else {
        panic!("{} clashes", found.clashes.len());
    };
    assert_eq!(clash.members[0].short, Some(length("1 mm")));
    let fix = alone(&found, &|c| {
        matches!(
            c,
            FixChange::Measure {
                kind: Kind::Template("edge"),
                ..
            }
        )
    });
    assert_eq!(
        fix.changes,
        [FixChange::Measure {
            kind: Kind::Template("edge"),
            name: "template.edge".to_owned(),
            of: String::new(),
            why: String::new(),
            from: interval("12 mm"),
            to: interval("11 mm"),
        }]
    );
}

/// Envelopes by the printed rule, a quarter inch less both ways (read, sellers' pages): into A-7,
/// 5 1/4 x 7 1/4 in, a card of 5 1/8 x 7 in goes once an eighth is cut off its width; a card of
/// 5 x 7 in goes as it is.
#[test]
fn a_card_for_an_envelope_loses_an_eighth() {
    let card = |size: &str| {
        let size = format!("size = \"{size}\"");
        envelope("1/8 in", "5 1/4 x 7 1/4 in", &size, "")
    };
    plan_in(ENVELOPES, &card("5 x 7 in"));
    let found = explained(Some(ENVELOPES), &card("5 1/8 x 7 in"));
    let fix = alone(&found, &|c| {
        matches!(
            c,
            FixChange::Measure {
                kind: Kind::Size,
                ..
            }
        )
    });
    assert_eq!(
        fix.changes,
        [FixChange::Measure {
            kind: Kind::Size,
            name: "note.width".to_owned(),
            of: "leaf".to_owned(),
            why: String::new(),
            from: interval("5 1/8 in"),
            to: interval("5 in"),
        }]
    );
    // Its rule has no price: it never gives. A wider envelope and leaving the card out are the other
    // ways, and a place that does not ask for ease.
    assert_eq!(found.fixes.len(), 1);
    let others = &found.fixes[0].fixes[1..];
    let accept = |fix: &&Fix| matches!(fix.changes[..], [FixChange::Accept { .. }]);
    assert!(!others.iter().any(|fix| accept(&fix)));
    let out = |fix: &Fix| matches!(fix.changes[..], [FixChange::LeaveOut { .. }]);
    assert!(others.last().is_some_and(out), "{others:#?}");
}
