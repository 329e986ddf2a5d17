//! Offers on varied albums, applied and worked out whole.

use crate::apply::{apply, change};
use crate::{common, sizes};
use tuckwright::album::{Album, Value};
use tuckwright::explain::grow::{STEPS, grow};
use tuckwright::length::{Interval, Length};
use tuckwright::plan::Reason;
use tuckwright::solve::Limits;
use tuckwright::style::Style;
use tuckwright::{Outcome, work};

/// What a size is in an album; nothing where it does not fit.
fn value(style: &Style, album: &Album, name: &str, leaf: &str) -> Option<Interval> {
    let Ok(worked) = work(style, album, &Limits::default()) else {
        return None;
    };
    match worked.outcome {
        Outcome::Fits(plan) => {
            let all = sizes(&plan);
            let size = all.iter().find(|s| s.name == name && s.leaf == leaf);
            size.map(|s| s.value)
        }
        _ => None,
    }
}

#[test]
fn every_offer_buys_what_it_says_and_a_step_less_buys_nothing() {
    let style = common::upright();
    let limits = Limits::default();
    let (mut offers, mut longer, mut nothing, mut late, mut until) = (0, 0, 0, 0, 0);
    let mut albums = 0;
    for seed in 0.. {
        if albums == 24 {
            break;
        }
        let album = common::varied(seed);
        let Ok(worked) = work(&style, &album, &limits) else {
            continue;
        };
        let Outcome::Fits(plan) = &worked.outcome else {
            continue;
        };
        albums += 1;
        let all = sizes(plan);
        let free = |s: &&&tuckwright::plan::SizePlan| {
            !matches!(s.held_by[..], [Reason::Given] | [Reason::Measured])
        };
        let mut dice = common::dice::Dice::new(seed);
        let found: Vec<_> = all.iter().filter(free).collect();
        let size = dice.pick(&found);
        let leaf = Some(size.leaf.as_str()).filter(|l| !l.is_empty());
        let growth = grow(&style, &album, &worked, &size.name, leaf, &limits).unwrap();
        assert!(growth.proved, "{seed} {}", size.name);
        let base = growth.value.most().nm();
        let gain = |changed: &Album| {
            let now = value(&style, changed, &size.name, &size.leaf)?.most().nm();
            Some(if growth.larger {
                now - base
            } else {
                base - now
            })
        };
        let step = album.ruler.step().nm();
        for offer in &growth.offers {
            offers += 1;
            let sign = if offer.more { 1 } else { -1 };
            let at = |by: Length| apply(&style, &album, offer, sign * by.nm());
            let says = format!("{seed} {} {}: {offer:?}", size.leaf, size.name);
            assert_eq!(gain(&at(offer.by)), Some(offer.buys.nm()), "{says}");
            assert!(offer.buys.nm() > 0 && offer.buys.nm() % step == 0);
            // Every smaller change, one by one.
            let thin = if album.ruler.is_metric() {
                10_000
            } else {
                25_400
            };
            let one = if offer.measure.contains("thickness")
                || offer.measure.ends_with("_caliper")
                || offer.by.nm() % (step / 2) != 0
            {
                thin
            } else if offer.by.nm() % step != 0 {
                step / 2
            } else {
                step
            };
            for less in 1..offer.by.nm() / one {
                longer += 1;
                let less = Length::from_nm(less * one);
                assert!(gain(&at(less)).unwrap_or(0) <= 0, "{says} {less}");
            }
            if let Some((far, in_all, _)) = &offer.until {
                until += 1;
                assert_eq!(gain(&at(*far)), Some(in_all.nm()), "{says}");
            }
        }
        // Some measures, every change of them worked out whole: what is offered is the first that
        // buys anything, and what is not offered has none.
        let leaf = Some(&size.leaf).filter(|l| !l.is_empty());
        let leaf = leaf.unwrap_or(&album.leaves[0].name);
        let prints = &album.supplies.prints;
        let mut names: Vec<String> = ["leaf.width", "leaf.height", "leaf.gusset"]
            .map(str::to_owned)
            .into();
        names.extend(prints.iter().map(|p| format!("width of {}", p.name)));
        names.extend(prints.iter().map(|p| format!("height of {}", p.name)));
        let cut = style.quantities.iter().map(|q| &q.name);
        let cut = cut.filter(|name| !name.ends_with("_caliper"));
        names.extend(cut.take(16).cloned());
        dice.shuffle(&mut names);
        for name in names.iter().take(4) {
            // Of a small allowance half a step is tried.
            let own = style.quantity(name).filter(|it| !it.measure);
            let now = own.map(|it| {
                let set = album.set.iter().find(|(set, _)| set.value == *name);
                set.map_or(it.usual(album.ruler), |(_, said)| said.value)
            });
            let step = match now {
                Some(Value::Length(now)) if now.least().nm() < 2 * step => step / 2,
                _ => step,
            };
            for more in [true, false] {
                let mut better: Vec<(i64, i64)> = Vec::new();
                for steps in 1..=STEPS {
                    let by = steps * step * if more { 1 } else { -1 };
                    let Some(changed) = change(&style, &album, name, leaf, by) else {
                        break;
                    };
                    let gain = gain(&changed).unwrap_or(0);
                    if gain > better.last().map_or(0, |(_, most)| *most) {
                        better.push((steps * step, gain));
                    }
                }
                let offer = growth.offers.iter().find(|o| {
                    o.measure == *name && o.more == more && (o.leaf.is_empty() || o.leaf == *leaf)
                });
                let says = format!("{seed} {leaf} {} {name} {more}: {better:?}", size.name);
                let first = offer.map(|o| (o.by.nm(), o.buys.nm()));
                assert_eq!(first, better.first().copied(), "{says}");
                if let Some((far, in_all, _)) = offer.and_then(|o| o.until.as_ref()) {
                    assert_eq!(Some(&(far.nm(), in_all.nm())), better.last(), "{says}");
                }
                match better.first() {
                    Some((by, _)) if *by > step => late += 1,
                    Some(_) => {}
                    None => nothing += 1,
                }
            }
        }
    }
    println!(
        "{albums} albums, {offers} offers, {longer} smaller changes, {until} ends, {late} late, {nothing} that buy nothing"
    );
    assert!(offers > 40 && longer > 20 && nothing > 60 && until > 10 && late > 1);
}
