//! Every fix written into the album's text, read again and worked out: nothing is left to a hand.

use super::brute::many;
use super::*;
use tuckwright::explain::{Fix, write};

#[test]
fn every_fix_can_be_written_and_then_the_album_fits() {
    let style = common::upright();
    let (mut failing, mut tried, mut accepts) = (0, 0, 0);
    let mut seed = 0;
    while failing < many(40) {
        seed += 1;
        let text = common::vary::album(seed);
        let album = common::read(&text);
        let Some(found) = explained(&style, &album) else {
            continue;
        };
        failing += 1;
        let firsts: Vec<Option<&Fix>> = (found.fixes.iter())
            .map(|list| match list.meanwhile {
                Some(at) => list.fixes.get(at),
                None => list.cheapest.as_ref(),
            })
            .collect();
        for list in &found.fixes {
            let accept = |fix: &Fix| {
                let mut changes = fix.changes.iter();
                changes.any(|it| matches!(it, FixChange::Accept { .. }))
            };
            let first = list.fixes.first().is_some_and(accept);
            accepts += usize::from(first && !list.fixes.iter().all(accept));
        }
        let lists = found.numbered().into_iter();
        for (list, fix) in lists {
            let others = firsts.iter().enumerate();
            let others = others.filter(|(at, _)| list.is_some_and(|list| *at != list));
            // A list without a first has rules that nothing mends.
            let Some(mut all) = others.map(|(_, fix)| *fix).collect::<Option<Vec<_>>>() else {
                continue;
            };
            all.push(fix);
            let written = write::written(&album, &text, &[], &all);
            let written =
                written.unwrap_or_else(|| panic!("seed {seed}: {:?}\n{text}", fix.changes));
            let again = common::read(&written);
            assert!(
                super::fits(&style, &again),
                "seed {seed}: {:?}\n{written}",
                fix.changes
            );
            tried += 1;
        }
    }
    assert!(tried > 3 * failing, "{tried} fixes of {failing} albums");
    assert_eq!(
        accepts, 0,
        "lists that begin with an accept, though others are there"
    );
}

/// All that was not asked about stays as it was typed.
#[test]
fn what_is_written_changes_one_line() {
    let text = "# Mine.\nalbum = \"One\"   # of many\nruler = \"1/8 in\"\n\n[template]\nedge = '1/8 in' # near\n\n# The only bag.\n[[bag]]\nname = \"small\"\nsize = \"5 x 8 in\"\ngusset = \"3 in\"\n\n[[leaf]]\nname = \"page\"\nbag = \"small\"\n";
    let style = common::upright();
    let album = common::read(text);
    let found = explained(&style, &album).expect("the hole is too near the edge");
    let all = found.numbered();
    let farther = all.iter().find(|(_, fix)| {
        matches!(&fix.changes[..], [FixChange::Measure { name, .. }] if name == "template.edge")
    });
    let (_, fix) = farther.expect("a hole farther from the edge");
    let written = write::written(&album, text, &[], &[fix]).expect("it can be written");
    let differing: Vec<(&str, &str)> = text
        .lines()
        .zip(written.lines())
        .filter(|(a, b)| a != b)
        .collect();
    assert_eq!(differing.len(), 1, "{written}");
    assert!(differing[0].1.ends_with("# near"), "{written}");
    assert_eq!(text.lines().count(), written.lines().count());
    assert!(super::fits(&style, &common::read(&written)));
}
