//! Small styles: what a size leans on, and leaves of which little is asked.

use crate::{common, exact, length};
use tuckwright::album::Album;
use tuckwright::explain::grow::grow;
use tuckwright::explain::need::{Want, need};
use tuckwright::solve::Limits;
use tuckwright::work;

/// A strip on each leaf, as large as the rules let it be; its width comes first.
const STRIPS: &str = "
style = 'strips'
title = 'Strips'
[[unknown]]
name = 'strip.width'
for = ['leaf in leaves']
prefer = 'large'
why = 'cut size'
[[unknown]]
name = 'strip.height'
for = ['leaf in leaves']
prefer = 'large'
why = 'cut size'
";

/// A leaf with a pocket, if its bag has one.
const POCKET: &str = "
[[part]]
name = 'leaf'
from = 'bags'
on = [{ name = 'pocket', when = 'leaf.has_pocket', opens = 'high', place = 'pocket', high = 'pocket.edge' }]
[name]
'pocket.edge' = 'bag.pocket_edge'
'leaf.has_pocket' = { holds = 'given(pocket.edge)' }
";

/// A rule for each leaf.
fn rule(name: &str, rest: &str) -> String {
    format!(
        "[[rule]]\nname = '{name}'\nfor = ['leaf in leaves']\nbecause = 'it is so'\nsource = 'common practice'\n{rest}\n"
    )
}

fn album(more: &str) -> Album {
    common::read(&format!(
        "album = 'Strips'\nruler = '1 mm'\n[[leaf]]\nname = 'leaf'\nbag = 'flat bag'\nfront_mat = 'none'\nback_mat = 'none'\n[[bag]]\nname = 'flat bag'\nsize = '111 x 146 mm'\nbottom = 'pinch'\n{more}"
    ))
}

/// The width comes first, 111 mm; of 2 x 146 mm that leaves 181 mm of height. Its bar is the rule of
/// both and that the width is at its best: a narrower leaf takes that from it, a step for a step.
#[test]
fn what_an_earlier_size_gives_up_is_bought() {
    let across = rule("across", "require = 'strip.width <= leaf.width'");
    let both = rule(
        "both",
        "require = 'strip.width + strip.height <= 2 * leaf.height'",
    );
    let style = common::style(&format!("{STRIPS}{across}{both}"));
    let album = album("");
    let limits = Limits::default();
    let worked = work(&style, &album, &limits).unwrap();
    let growth = grow(&style, &album, &worked, "strip.height", None, &limits).unwrap();
    assert_eq!(growth.value.most(), length("181 mm"));
    assert!(growth.larger && growth.proved);
    let offers = growth.offers.iter().map(|it| {
        let loses = it.loses.map(|loses| album.ruler.show(loses).to_string());
        let (by, buys) = (album.ruler.show(it.by), album.ruler.show(it.buys));
        (
            it.measure.as_str(),
            it.more,
            format!("{by} buys {buys}"),
            loses,
        )
    });
    assert_eq!(
        offers.collect::<Vec<_>>(),
        [
            ("leaf.height", true, "1 mm buys 2 mm".to_owned(), None),
            (
                "leaf.width",
                false,
                "1 mm buys 1 mm".to_owned(),
                Some("1 mm".to_owned())
            ),
        ]
    );
}

/// A ring that is not chosen is one of all rings: its inside is a measure too.
#[test]
fn a_ring_that_was_found_may_be_larger() {
    let choice =
        "[[choice]]\nname = 'ring'\nfrom = 'rings'\nprefer = 'small inside'\nwhy = 'a ring'\n";
    let across = rule(
        "across",
        "when = 'given(ring.inside)'\nrequire = 'strip.width <= 4 * ring.inside'",
    );
    let up = rule("up", "require = 'strip.height <= leaf.height'");
    let style = common::style(&format!("{STRIPS}{choice}{across}{up}"));
    for template in ["", "[template]\nring = 'ring'\n"] {
        let ring = "[[ring]]\nname = 'ring'\ninside = '20 mm'\n";
        let album = album(&format!("{template}{ring}"));
        let limits = Limits::default();
        let worked = work(&style, &album, &limits).unwrap();
        let growth = grow(&style, &album, &worked, "strip.width", None, &limits).unwrap();
        assert_eq!(growth.value.most(), length("80 mm"));
        let offers = growth.offers.iter();
        let offers: Vec<_> = offers
            .map(|it| (it.measure.as_str(), it.more, it.by, it.buys))
            .collect();
        let more = ("inside of ring", true, length("1 mm"), length("4 mm"));
        assert_eq!(offers, [more], "{template}");
    }
}

/// Where the rules ask for nothing a leaf is one step wide and high, not none; what is only wished
/// makes it no larger.
#[test]
fn the_smallest_leaf_is_a_step_wide() {
    let wanted = Want {
        place: "mouth".into(),
        count: 1,
        width: exact("30 mm"),
        height: exact("40 mm"),
    };
    let up = rule("up", "require = 'strip.height <= leaf.height'");
    let wish = rule(
        "wish",
        "wish = true\nrequire = 'leaf.width >= 9 * leaf.height'",
    );
    for rules in [up.clone(), format!("{up}{wish}")] {
        let style = common::style(&format!("{STRIPS}{rules}"));
        let limits = Limits::default();
        let need = need(&style, &album(""), std::slice::from_ref(&wanted), &limits).unwrap();
        let sizes = need.leaves.iter().map(|it| (it.width, it.height));
        let step = length("1 mm");
        assert_eq!(sizes.collect::<Vec<_>>(), [(step, step)]);
        assert!(need.all);
    }
}

/// A pocket twice as high as its leaf is wide: the leaf is as high as the pocket.
#[test]
fn a_pocket_that_is_made_is_no_higher_than_its_leaf() {
    let up = rule("up", "require = 'strip.height <= leaf.height'");
    let deep = rule(
        "deep",
        "when = 'leaf.has_pocket'\nrequire = 'pocket.edge >= 2 * leaf.width'",
    );
    let style = common::style(&format!("{STRIPS}{up}{deep}{POCKET}"));
    let wanted = [Want {
        place: "pocket".into(),
        count: 1,
        width: exact("30 mm"),
        height: exact("40 mm"),
    }];
    let need = need(&style, &album(""), &wanted, &Limits::default()).unwrap();
    let sizes = need
        .leaves
        .iter()
        .map(|it| (it.width, it.height, it.pocket));
    let (one, two) = (length("1 mm"), length("2 mm"));
    assert_eq!(sizes.collect::<Vec<_>>(), [(one, two, Some(two))]);
}
