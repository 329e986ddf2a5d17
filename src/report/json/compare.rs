//! Bags side by side for other programs.

use super::explanation::fix;
use super::{about, held, joined, list, measure, pretty, print, start};
use crate::compare::rank::Ranked;
use crate::compare::sweep::{Cell, Sweep};
use crate::compare::{Answer, Broken, Comparison, Mend, Offer, Sheets, Tucked};
use crate::length::Ruler;
use crate::report::From;
use crate::report::compare::csv::verdict;
use crate::report::compare::{costs, sense, stopped};
use serde_json::{Value, json};

/// What became of all bags; `files` are the names of the files that they were read from.
pub fn compare(from: From<'_>, files: &[String], compared: &Comparison, exit: u8) -> String {
    let scope = &compared.scope;
    let counts = compared.counts;
    let photo_of = scope.photo.as_ref();
    let rest = json!({
        "exit": exit,
        "leaves": scope.leaves,
        "bags_needed": scope.bags,
        "left_out": scope.left_out,
        "photo_of": photo_of.map(|(leaf, insert)| json!({ "leaf": leaf, "insert": insert })),
        "by": list(&compared.by, |by| json!(by.name())),
        "at_least": list(&compared.at_least, |least| json!(least.words)),
        "counts": {
            "bags": counts.taken,
            "fit": counts.fit,
            "give_less": counts.small,
            "do_not_fit": counts.clash,
            "undecided": counts.open,
            "unread": compared.unread,
            "wrong_rows": compared.wrong_rows,
        },
        "ranked": list(&compared.ranked, |one| ranked(from.ruler, files, one)),
        "less": list(&compared.less, |offer| with_photo(from.ruler, files, offer)),
        "failed": list(&compared.failed, |(offer, mend)| failed(from, files, offer, mend.as_ref())),
    });
    pretty(&joined([
        start("compare"),
        about(from.title, from.ruler),
        rest,
    ]))
}

fn bag(ruler: Ruler, files: &[String], offer: &Offer) -> Value {
    json!({
        "name": offer.bag.name,
        "file": files.get(offer.at.file as usize),
        "line": (offer.at.line > 0).then_some(offer.at.line),
        "width": measure(ruler, offer.bag.width),
        "gusset": offer.bag.gusset.map(|gusset| measure(ruler, gusset)),
        "height": measure(ruler, offer.bag.height),
        "verdict": verdict(&offer.answer),
        "packs": offer.cost.packs,
        "price": offer.cost.price.map(|price| price.to_string()),
        "at_hand": offer.bag.count,
    })
}

fn ranked(ruler: Ruler, files: &[String], ranked: &Ranked) -> Value {
    let fit = ranked.offer.fit();
    let insert = |insert: &Tucked| {
        json!({
            "leaf": insert.leaf,
            "name": insert.name,
            "count": insert.count,
            "width": measure(ruler, insert.width),
            "height": measure(ruler, insert.height),
        })
    };
    let ring = fit.and_then(|fit| fit.ring.as_ref()).map(|ring| {
        let takes = |(leaf, leaves): &(String, i64)| json!({ "leaf": leaf, "leaves": leaves });
        json!({ "name": ring.name, "takes": list(&ring.takes, takes) })
    });
    let paper = |sheets: &Sheets| {
        json!({
            "names": sheets.papers,
            "at_least_sheets": sheets.at_least,
            "at_hand": sheets.at_hand,
        })
    };
    joined([
        json!({ "rank": ranked.rank, "unbeaten": ranked.unbeaten, "alike": ranked.ties }),
        bag(ruler, files, &ranked.offer),
        json!({
            "photo": photo(ruler, &ranked.offer),
            "inserts": list(fit.iter().flat_map(|fit| &fit.inserts), insert),
            "ring": ring,
            "stack_at_holes": fit.map(|fit| measure(ruler, fit.stack_at_holes)),
            "paper": list(fit.iter().flat_map(|fit| &fit.paper), paper),
        }),
    ])
}

fn with_photo(ruler: Ruler, files: &[String], offer: &Offer) -> Value {
    joined([
        bag(ruler, files, offer),
        json!({ "photo": photo(ruler, offer) }),
    ])
}

fn photo(ruler: Ruler, offer: &Offer) -> Option<Value> {
    let fit = offer.fit()?;
    let photo = fit.photo.as_ref()?;
    let cost = fit.nominal.and_then(|nominal| costs(photo, nominal));
    // Negative where the photo is larger with the tolerance than without.
    let costs = cost.map(|(width, height)| {
        json!({ "width": measure(ruler, width), "height": measure(ruler, height) })
    });
    Some(json!({
        "leaf": photo.leaf,
        "insert": photo.on,
        "width": measure(ruler, photo.width),
        "height": measure(ruler, photo.height),
        "print": photo.print.as_ref().map(|it| print(ruler, it)),
        "width_held_by": held(ruler, &photo.width_by),
        "height_held_by": held(ruler, &photo.height_by),
        "tolerance_costs": costs,
    }))
}

fn failed(from: From<'_>, files: &[String], offer: &Offer, mend: Option<&Mend>) -> Value {
    let ruler = from.ruler;
    let (rules, proved_minimal) = match &offer.answer {
        Answer::Clash(conflict) => (&conflict.rules[..], conflict.proved_minimal),
        _ => (&[][..], false),
    };
    let broken = |broken: &Broken| {
        json!({
            "rule": broken.rule,
            "of": broken.of,
            "missing": broken.missing.map(|(by, _)| measure(ruler, by)),
            "sense": broken.missing.map(|(_, off)| sense(off)),
            "source": broken.source,
        })
    };
    let rest = json!({
        "why_not": stopped(ruler, &offer.answer),
        "clash": list(rules, broken),
        "proved_minimal": proved_minimal,
        "needs": mend.map(|mend| list(&mend.fixes, |it| fix(from, it))),
    });
    joined([bag(ruler, files, offer), rest])
}

/// The largest photo over all sizes of bag, and bags as points.
pub fn sweep(from: From<'_>, swept: &Sweep, points: &[Offer], exit: u8) -> String {
    let ruler = from.ruler;
    let (widths, heights) = (&swept.grid.widths, &swept.grid.heights);
    let sides = heights
        .iter()
        .flat_map(|h| widths.iter().map(move |w| (*w, *h)));
    let size = |((width, height), cell): ((_, _), &Cell)| {
        let (photo, verdict) = match cell {
            Cell::Photo(wide, high, region) => (Some((*wide, *high, *region)), "fits"),
            Cell::NoPhoto => (None, "fits"),
            Cell::DoesNotFit => (None, "does not fit"),
            Cell::Undecided => (None, "undecided"),
        };
        json!({
            "width": measure(ruler, width),
            "height": measure(ruler, height),
            "verdict": verdict,
            "photo_width": photo.map(|(wide, _, _)| measure(ruler, wide)),
            "photo_height": photo.map(|(_, high, _)| measure(ruler, high)),
            "region": photo.map(|(_, _, region)| region),
        })
    };
    let rest = json!({
        "exit": exit,
        "gusset": swept.like.gusset.map(|gusset| measure(ruler, gusset)),
        "regions": list(&swept.regions, |it| json!({ "rules": it.rules, "sizes": it.cells })),
        "sizes": list(sides.zip(&swept.cells), size),
        "points": list(points, |offer| with_photo(ruler, &[], offer)),
    });
    pretty(&joined([start("sweep"), about(from.title, ruler), rest]))
}
