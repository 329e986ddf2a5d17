//! Many bags and albums: every fix done by hand, a ruler step less of it, and all that the maker
//! gave scanned where none of it is said to mend it.

use super::apply::{a_step_less, apply, moved, slot};
use super::*;
use common::dice::Dice;
use tuckwright::album::Value;
use tuckwright::explain::{Fix, FixList, Kind};
use tuckwright::scene::BagMeasure;

/// A measure that the maker gave is moved by up to so many steps of the ruler.
const SCANNED: i64 = 40;

/// So many albums, or as many as the environment asks for: a longer run by hand.
pub fn many(usual: u64) -> u64 {
    let asked = std::env::var("ALBUMS").ok();
    asked.and_then(|n| n.parse().ok()).unwrap_or(usual)
}

#[derive(Debug, Default)]
struct Counts {
    albums: usize,
    clash: usize,
    applied: usize,
    less: usize,
    sizes: usize,
    lists: usize,
    stuck: usize,
    scanned: usize,
}

/// A bag with some of what may be typed beside it, often too much for it.
fn typed(seed: u64) -> Album {
    let mut dice = Dice::new(seed);
    let inch = dice.chance(60);
    let grain = if inch { 1_587_500 } else { 1_000_000 };
    let of = |dice: &mut Dice, least: i64, most: i64| {
        Interval::exact(Length::from_nm(dice.between(least, most) * grain))
    };
    let some = |dice: &mut Dice, percent: i64, least: i64, most: i64| {
        let value = of(dice, least, most);
        dice.chance(percent).then_some(value)
    };
    let (width, height) = (of(&mut dice, 20, 110), of(&mut dice, 30, 160));
    let gusset = some(&mut dice, 40, 4, 50);
    let gusset = gusset.filter(|g| g.most().nm() * 2 < height.least().nm());
    let pocket = some(&mut dice, 35, 4, 90);
    let mut set = Vec::new();
    for name in [
        "side_reveal",
        "border",
        "caption_strip",
        "ease",
        "hole_clear",
        "cutting_error",
        "tuck_under",
        "hole_diameter",
        "bottom_seam",
        "end_least",
        "glue_seam",
    ] {
        if let Some(value) = some(&mut dice, 12, 1, 12) {
            set.push((name.to_owned(), Value::Length(value)));
        }
    }
    if dice.chance(6) {
        set.push(("edge_share".to_owned(), Value::Ratio(dice.between(1, 6), 1)));
    }
    quick(Quick {
        gusset,
        pocket,
        pocket_depth: pocket.and(some(&mut dice, 50, 2, 90)),
        hole: some(&mut dice, 35, 2, 10),
        edge: some(&mut dice, 45, 1, 30),
        set,
        ..Quick {
            width,
            height,
            ..bag(if inch { "1/8 in" } else { "1 mm" }, "5 in", "8 in")
        }
    })
}

/// What mends each other list meanwhile, if all of them say what a hand can do.
fn others(lists: &[FixList], at: usize) -> Option<Vec<&FixChange>> {
    let mut all = Vec::new();
    for (n, list) in lists.iter().enumerate() {
        if n != at {
            let meanwhile = list.meanwhile.and_then(|at| list.fixes.get(at));
            let first = meanwhile.or(list.cheapest.as_ref())?;
            all.extend(&first.changes);
        }
    }
    Some(all)
}

fn check(style: &Style, album: &Album, seed: u64, counts: &mut Counts) {
    counts.albums += 1;
    let Some(found) = explained(style, album) else {
        return;
    };
    counts.clash += 1;
    println!("seed {seed}"); // what a panic leaves to be found by
    counts.lists += found.fixes.len();
    assert!(!found.fixes.is_empty(), "seed {seed}: a limit was met");
    for (at, list) in found.fixes.iter().enumerate() {
        let says = |fix: &Fix| format!("seed {seed}, list {at}: {:#?}", fix.changes);
        assert_eq!(
            list.nothing_mends.is_empty(),
            // Where not all was tried, nothing is said of it.
            !(list.fixes.is_empty() && list.cheapest.is_none() && list.all),
            "seed {seed}, list {at}: {list:#?}"
        );
        let Some(others) = others(&found.fixes, at) else {
            continue;
        };
        for fix in list.fixes.iter().chain(&list.cheapest) {
            assert!(fix.sizes.is_some(), "{}", says(fix));
            // What mends all of it, in a list of which nothing else is known, is worked out alone.
            let others = match found.whole.contains(fix) {
                true => &[],
                false => &others[..],
            };
            let all = || fix.changes.iter().chain(others.iter().copied());
            let Some(mended) = apply(album, all()) else {
                continue;
            };
            counts.applied += 1;
            let worked = work(style, &mended, &Limits::default()).expect("an album");
            let Outcome::Fits(_) = worked.outcome else {
                panic!("it does not fit: {}", says(fix));
            };
            for (name, value) in fix.sizes.iter().flatten() {
                let names = worked.expanded.program.unknowns.iter();
                let place = names
                    .into_iter()
                    .position(|u| u.name == *name)
                    .expect("a size");
                let ticks = worked.solution.values[place];
                let now = album.ruler.length_of(ticks).map(Interval::exact);
                assert_eq!(now, Some(*value), "{name}: {}", says(fix));
                counts.sizes += 1;
            }
            for n in 0..fix.changes.len() {
                let mut fewer = fix.changes.clone();
                match a_step_less(&fix.changes[n], album.ruler.step()) {
                    Some(less) if less != fix.changes[n] => fewer[n] = less,
                    _ => drop(fewer.remove(n)),
                }
                if let Some(changed) = apply(album, fewer.iter().chain(others.iter().copied())) {
                    counts.less += 1;
                    assert!(!fits(style, &changed), "less is enough: {}", says(fix));
                }
            }
        }
        // Where only another bag or the like mends, no measure does.
        let by_measures = |fix: &Fix| fix.changes.iter().any(|it| !matches!(it, FixChange::Do(_)));
        let all = list.fixes.iter().chain(&list.cheapest);
        if list.all && !all.into_iter().any(by_measures) {
            counts.stuck += 1;
            let Some(others) = apply(album, others.into_iter()) else {
                continue;
            };
            counts.scanned += scan(style, &others, seed);
        }
    }
}

/// Moves every measure that the maker gave: none makes it fit.
fn scan(style: &Style, album: &Album, seed: u64) -> usize {
    let mut names: Vec<(Kind, String, String)> = Vec::new();
    for (name, _) in &album.set {
        names.push((Kind::Quantity, name.value.clone(), String::new()));
    }
    // What a published pattern fixed stays.
    let fixed = album.template.pattern.is_some();
    let free = |name: &&str| !(fixed && ["edge", "pitch", "diameter"].contains(name));
    for name in ["edge", "first", "pitch", "diameter", "eyelet"]
        .iter()
        .filter(|n| free(n))
    {
        names.push((
            Kind::Template(name),
            format!("template.{name}"),
            String::new(),
        ));
    }
    for bag in &album.supplies.bags {
        for (measure, name) in [
            (BagMeasure::PocketEdge, "pocket.edge"),
            (BagMeasure::PocketDepth, "pocket.depth"),
        ] {
            names.push((Kind::Pocket(measure), name.to_owned(), bag.name.clone()));
        }
    }
    let mut tried = 0;
    for (kind, name, of) in names {
        for by in (-SCANNED..=SCANNED).map(|n| n * album.ruler.step().nm()) {
            let mut changed = album.clone();
            let Some(value) = slot(&mut changed, kind, &name, &of) else {
                break;
            };
            let nothing = matches!(kind, Kind::Quantity) && !name.contains("diameter");
            if value.least().nm() + by < i64::from(!nothing) {
                continue;
            }
            *value = moved(*value, by);
            tried += 1;
            assert!(
                !fits(style, &changed),
                "seed {seed}: {name} by {by} nm mends"
            );
        }
    }
    tried
}

#[test]
fn fixes_of_typed_bags_hold_and_nothing_else_does() {
    let style = common::upright();
    let mut counts = Counts::default();
    for seed in 0..many(400) {
        check(&style, &typed(seed), seed, &mut counts);
    }
    println!("{counts:?}");
    assert!(
        counts.clash > 100 && counts.applied > 200 && counts.less > 200,
        "{counts:?}"
    );
    assert!(counts.stuck > 0 && counts.scanned > 100, "{counts:?}");
}

#[test]
fn fixes_of_varied_albums_hold() {
    let style = common::upright();
    let mut counts = Counts::default();
    for seed in 0..many(60) {
        check(&style, &common::varied(seed), seed, &mut counts);
    }
    println!("{counts:?}");
    assert!(
        counts.clash > 20 && counts.applied > 25 && counts.less > 30,
        "{counts:?}"
    );
}
