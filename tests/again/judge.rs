//! Many bags judged, against each of them worked out the whole way.

use crate::common::{self, bags, dice::Dice};
use rayon::prelude::*;
use tuckwright::album::{Album, Leaf};
use tuckwright::compare::{Answer, Asked, At, Candidate, Judge, Sheets, offer};
use tuckwright::solve::Limits;
use tuckwright::style::Style;
use tuckwright::supplies::Bag;

/// What is asked of an album: all of its leaves, or one of them.
fn asked<'a>(style: &'a Style, album: &Album, dice: &mut Dice) -> Option<Asked<'a>> {
    let leaf = dice.pick(&album.leaves).name.clone();
    let leaf = dice.chance(50).then_some(leaf);
    Asked::new(style, album, leaf.as_deref()).ok()
}

fn bags(dice: &mut Dice, album: &Album, count: usize) -> Vec<Bag> {
    let first = &album.supplies.bags[0];
    let bag = |at| match at % 4 {
        3 => bags::any(dice, first),
        _ => bags::alike(dice, first),
    };
    (0..count).map(bag).collect()
}

/// Everything in an answer but how many proofs stand behind it.
fn told(answer: &Answer) -> String {
    format!("{answer:#?}")
}

/// The answer of a judge, which is that of the whole way.
fn as_worked_out(asked: &Asked<'_>, judge: &Judge<'_>, bag: &Bag) -> Answer {
    let judged = judge.answer(bag);
    let candidate = Candidate {
        bag: bag.clone(),
        at: At::default(),
    };
    let whole = offer(asked, &candidate, &Limits::default()).answer;
    let (one, two) = (told(&judged), told(&whole));
    for (one, two) in one.lines().zip(two.lines()) {
        assert_eq!(one, two, "{bag:?}\n{judged:?}\n{whole:?}");
    }
    assert_eq!(one.len(), two.len());
    judged
}

#[test]
fn a_judged_bag_of_a_shipped_album_is_as_one_worked_out() {
    let style = common::upright();
    for (name, leaf) in [
        ("low-water", Some("shore")),
        ("low-water", None),
        ("hut-book", Some("week")),
        ("hut-book", None),
    ] {
        let album = common::shipped(name);
        let asked = Asked::new(&style, &album, leaf).expect("it is right");
        let judge = Judge::new(&asked, &Limits::default());
        let of_leaf = |it: &&Leaf| leaf.is_none_or(|leaf| it.name == leaf);
        let own = album.leaves.iter().find(of_leaf).expect("it is there").bag;
        let mut dice = Dice::new(90_000);
        let mut fit = 0;
        for at in 0..40 {
            let own = &album.supplies.bags[own];
            let bag = match at % 8 {
                7 => bags::any(&mut dice, own),
                at if at % 2 == 0 => bags::alike(&mut dice, own),
                _ => bags::a_little_larger(&mut dice, own),
            };
            let answer = as_worked_out(&asked, &judge, &bag);
            fit += u32::from(matches!(answer, Answer::Fits(_)));
        }
        assert!(fit > 0 || leaf.is_none(), "{name} {leaf:?}: {fit}");
    }
}

/// Boards, a wrap and a band tie all leaves together, and their paper counts.
#[test]
fn so_is_a_bag_of_an_album_with_parts_of_its_own() {
    let style = common::style(include_str!("../../models/styles/boards.toml"));
    let words = include_str!("../styles/boards/harbour.toml");
    let mut papers = 0;
    for (words, leaf) in [
        (words.to_owned(), Some("quay")),
        (words.to_owned(), Some("pier")),
        (words.replace("12 x 18 in", "9 x 12 in"), None),
    ] {
        let album = common::read(&words);
        let asked = Asked::new(&style, &album, leaf).expect("it is right");
        let judge = Judge::new(&asked, &Limits::default());
        let mut dice = Dice::new(91_000);
        for at in 0..30 {
            let own = &album.supplies.bags[at % 2];
            let bag = match at % 8 {
                7 => bags::any(&mut dice, own),
                at if at % 2 == 0 => bags::alike(&mut dice, own),
                _ => bags::a_little_larger(&mut dice, own),
            };
            if let Answer::Fits(fit) = as_worked_out(&asked, &judge, &bag) {
                let board = |it: &Sheets| it.papers == ["grey board"];
                papers += usize::from(fit.paper.iter().any(board));
            }
        }
    }
    assert!(papers > 10, "{papers}");
}

/// Every kind of album, bags and envelopes, and what only some albums ask for.
#[test]
fn so_is_a_bag_of_every_kind() {
    let metric = |kind: &str| {
        let path = format!("tests/fits/metric-{kind}/album.toml");
        common::read(&std::fs::read_to_string(path).expect("an album"))
    };
    for (kind, name) in common::KINDS {
        let style = common::kind(kind);
        let mut fit = 0;
        for album in [common::shipped(name), metric(kind)] {
            let asked = Asked::new(&style, &album, None).expect("it is right");
            let judge = Judge::new(&asked, &Limits::default());
            let mut dice = Dice::new(92_000);
            let own = &album.supplies.bags[album.leaves[0].bag];
            for at in 0..12 {
                let bag = match at % 4 {
                    0 => bags::any(&mut dice, own),
                    1 => bags::alike(&mut dice, own),
                    _ => bags::a_little_larger(&mut dice, own),
                };
                let answer = as_worked_out(&asked, &judge, &bag);
                fit += u32::from(matches!(answer, Answer::Fits(_)));
            }
        }
        assert!(fit > 4, "{kind}: {fit}");
    }
}

#[test]
fn a_judged_bag_is_as_one_worked_out() {
    let style = common::upright();
    let limits = Limits::default();
    let (mut fit, mut clash, mut other) = (0, 0, 0);
    for seed in 0..160 {
        let mut dice = Dice::new(seed + 70_000);
        let album = common::varied(seed);
        let Some(asked) = asked(&style, &album, &mut dice) else {
            continue;
        };
        let judge = Judge::new(&asked, &limits);
        for bag in bags(&mut dice, &album, 8) {
            let judged = as_worked_out(&asked, &judge, &bag);
            match judged {
                Answer::Fits(_) => fit += 1,
                Answer::Clash(_) => clash += 1,
                _ => other += 1,
            }
        }
    }
    println!("{fit} fit, {clash} clash, {other} neither");
    assert!(fit > 150 && clash > 300, "{fit} {clash} {other}");
}

/// Threads and the order in which bags come do not show.
#[test]
fn answers_do_not_depend_on_threads() {
    let style = common::upright();
    let limits = Limits::default();
    for seed in [3, 8, 21] {
        let mut dice = Dice::new(seed + 80_000);
        let album = common::varied(seed);
        let Some(asked) = asked(&style, &album, &mut dice) else {
            continue;
        };
        let bags = bags(&mut dice, &album, 60);
        let of_threads = |threads: usize| -> Vec<String> {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
            let pool = pool.build().expect("threads");
            let judge = Judge::new(&asked, &limits);
            pool.install(|| {
                bags.par_iter()
                    .map(|bag| told(&judge.answer(bag)))
                    .collect()
            })
        };
        let one = of_threads(1);
        assert!(one == of_threads(2) && one == of_threads(5));
        let judge = Judge::new(&asked, &limits);
        let backwards: Vec<String> = (bags.iter().rev())
            .map(|bag| told(&judge.answer(bag)))
            .collect();
        assert!(one.iter().eq(backwards.iter().rev()));
    }
}
