//! Bags side by side for other programs.

use super::explanation::{OneFix, fix};
use super::shape::{Held, Measure, Print};
use super::{VERSION, held, length, measure, pretty, print};
use crate::compare::rank::Ranked;
use crate::compare::sweep::{Cell, Sweep};
use crate::compare::{Answer, Broken, Comparison, Fit, Mend, Offer, Photo, Sheets, Tucked};
use crate::length::Ruler;
use crate::report::From;
use crate::report::compare::csv::verdict;
use crate::report::compare::{costs, sense, stopped};
use serde::Serialize;

#[derive(Debug, Serialize)]
struct Compared<'a> {
    tuckwright: u32,
    kind: &'static str,
    title: &'a str,
    ruler: Measure,
    unit: &'static str,
    exit: u8,
    leaves: &'a [String],
    bags_needed: i64,
    left_out: &'a [String],
    photo_of: Option<PhotoOf<'a>>,
    by: Vec<&'static str>,
    at_least: Vec<&'a str>,
    counts: Counts,
    ranked: Vec<OneRanked<'a>>,
    failed: Vec<OneFailed<'a>>,
}

#[derive(Debug, Serialize)]
struct PhotoOf<'a> {
    leaf: &'a str,
    insert: &'a str,
}

#[derive(Debug, Serialize)]
struct Counts {
    bags: u64,
    fit: u64,
    give_less: u64,
    do_not_fit: u64,
    undecided: u64,
    unread: bool,
    wrong_rows: u64,
}

#[derive(Debug, Serialize)]
struct OneBag<'a> {
    name: &'a str,
    file: Option<&'a str>,
    line: Option<u32>,
    width: Measure,
    gusset: Option<Measure>,
    height: Measure,
    verdict: &'static str,
    packs: i64,
    price: Option<String>,
    at_hand: Option<i64>,
}

#[derive(Debug, Serialize)]
struct OneRanked<'a> {
    rank: Option<u64>,
    unbeaten: bool,
    alike: u64,
    #[serde(flatten)]
    bag: OneBag<'a>,
    photo: Option<OnePhoto<'a>>,
    inserts: Vec<OneInsert<'a>>,
    ring: Option<OneRing<'a>>,
    stack_at_holes: Option<Measure>,
    paper: Vec<OnePaper<'a>>,
}

#[derive(Debug, Serialize)]
struct OnePhoto<'a> {
    leaf: &'a str,
    insert: &'a str,
    width: Measure,
    height: Measure,
    print: Option<Print>,
    width_held_by: Vec<Held>,
    height_held_by: Vec<Held>,
    tolerance_costs: Option<Costs>,
}

/// Negative where the photo is larger with the tolerance than without.
#[derive(Debug, Serialize)]
struct Costs {
    width: Measure,
    height: Measure,
}

#[derive(Debug, Serialize)]
struct OneInsert<'a> {
    leaf: &'a str,
    name: &'a str,
    count: i64,
    width: Measure,
    height: Measure,
}

#[derive(Debug, Serialize)]
struct OneRing<'a> {
    name: &'a str,
    takes: Vec<Takes<'a>>,
}

#[derive(Debug, Serialize)]
struct Takes<'a> {
    leaf: &'a str,
    leaves: i64,
}

#[derive(Debug, Serialize)]
struct OnePaper<'a> {
    names: &'a [String],
    at_least_sheets: Option<i64>,
    at_hand: Option<i64>,
}

#[derive(Debug, Serialize)]
struct OneFailed<'a> {
    #[serde(flatten)]
    bag: OneBag<'a>,
    why_not: String,
    clash: Vec<OneBroken<'a>>,
    proved_minimal: bool,
    needs: Option<Vec<OneFix>>,
}

#[derive(Debug, Serialize)]
struct OneBroken<'a> {
    rule: &'a str,
    of: &'a str,
    missing: Option<Measure>,
    sense: Option<&'static str>,
    source: &'a str,
}

/// What became of all bags; `files` are the names of the files that they were read from.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn compare(
    from: From<'_>,
    files: &[String],
    compared: &Comparison,
    exit: u8,
) -> serde_json::Result<String> {
    let ruler = from.ruler;
    let scope = &compared.scope;
    let counts = compared.counts;
    let photo_of = scope.photo.as_ref();
    pretty(&Compared {
        tuckwright: VERSION,
        kind: "compare",
        title: from.title,
        ruler: length(ruler, ruler.step()),
        unit: ruler.unit().name(),
        exit,
        leaves: &scope.leaves,
        bags_needed: scope.bags,
        left_out: &scope.left_out,
        photo_of: photo_of.map(|(leaf, insert)| PhotoOf { leaf, insert }),
        by: compared.by.iter().map(|by| by.name()).collect(),
        at_least: compared.at_least.iter().map(|l| l.words.as_str()).collect(),
        counts: Counts {
            bags: counts.taken,
            fit: counts.fit,
            give_less: counts.small,
            do_not_fit: counts.clash,
            undecided: counts.open,
            unread: compared.unread,
            wrong_rows: compared.wrong_rows,
        },
        ranked: (compared.ranked.iter())
            .map(|one| ranked(ruler, files, one))
            .collect(),
        failed: (compared.failed.iter())
            .map(|(offer, mend)| failed(from, files, offer, mend.as_ref()))
            .collect(),
    })
}

fn bag<'a>(ruler: Ruler, files: &'a [String], offer: &'a Offer) -> OneBag<'a> {
    OneBag {
        name: &offer.bag.name,
        file: files.get(offer.at.file as usize).map(String::as_str),
        line: (offer.at.line > 0).then_some(offer.at.line),
        width: measure(ruler, offer.bag.width),
        gusset: offer.bag.gusset.map(|gusset| measure(ruler, gusset)),
        height: measure(ruler, offer.bag.height),
        verdict: verdict(&offer.answer),
        packs: offer.cost.packs,
        price: offer.cost.price.map(|price| price.to_string()),
        at_hand: offer.bag.count,
    }
}

fn ranked<'a>(ruler: Ruler, files: &'a [String], ranked: &'a Ranked) -> OneRanked<'a> {
    let fit = ranked.offer.fit();
    let paper = fit.map_or(&[][..], |fit| &fit.paper);
    let inserts = fit.map_or(&[][..], |fit| &fit.inserts);
    OneRanked {
        rank: ranked.rank,
        unbeaten: ranked.unbeaten,
        alike: ranked.ties,
        bag: bag(ruler, files, &ranked.offer),
        photo: fit.and_then(|fit| Some(photo(ruler, fit, fit.photo.as_ref()?))),
        inserts: inserts.iter().map(|one| insert(ruler, one)).collect(),
        ring: fit.and_then(|fit| fit.ring.as_ref()).map(|ring| OneRing {
            name: &ring.name,
            takes: (ring.takes.iter())
                .map(|(leaf, leaves)| Takes {
                    leaf,
                    leaves: *leaves,
                })
                .collect(),
        }),
        stack_at_holes: fit.map(|fit| measure(ruler, fit.stack_at_holes)),
        paper: paper.iter().map(sheets).collect(),
    }
}

fn photo<'a>(ruler: Ruler, fit: &Fit, photo: &'a Photo) -> OnePhoto<'a> {
    let cost = fit.nominal.and_then(|nominal| costs(photo, nominal));
    let reasons = |all: &[crate::plan::Reason]| all.iter().map(|r| held(ruler, r)).collect();
    OnePhoto {
        leaf: &photo.leaf,
        insert: &photo.on,
        width: measure(ruler, photo.width),
        height: measure(ruler, photo.height),
        print: photo.print.as_ref().map(|p| print(ruler, p)),
        width_held_by: reasons(&photo.width_by),
        height_held_by: reasons(&photo.height_by),
        tolerance_costs: cost.map(|(width, height)| Costs {
            width: length(ruler, width),
            height: length(ruler, height),
        }),
    }
}

fn insert(ruler: Ruler, insert: &Tucked) -> OneInsert<'_> {
    OneInsert {
        leaf: &insert.leaf,
        name: &insert.name,
        count: insert.count,
        width: measure(ruler, insert.width),
        height: measure(ruler, insert.height),
    }
}

fn sheets(sheets: &Sheets) -> OnePaper<'_> {
    OnePaper {
        names: &sheets.papers,
        at_least_sheets: sheets.at_least,
        at_hand: sheets.at_hand,
    }
}

fn failed<'a>(
    from: From<'_>,
    files: &'a [String],
    offer: &'a Offer,
    mend: Option<&Mend>,
) -> OneFailed<'a> {
    let (rules, proved_minimal) = match &offer.answer {
        Answer::Clash(conflict) => (&conflict.rules[..], conflict.proved_minimal),
        _ => (&[][..], false),
    };
    OneFailed {
        bag: bag(from.ruler, files, offer),
        why_not: stopped(from.ruler, &offer.answer),
        clash: rules.iter().map(|rule| broken(from.ruler, rule)).collect(),
        proved_minimal,
        needs: mend.map(|mend| mend.fixes.iter().map(|one| fix(from, one)).collect()),
    }
}

fn broken(ruler: Ruler, broken: &Broken) -> OneBroken<'_> {
    OneBroken {
        rule: &broken.rule,
        of: &broken.of,
        missing: broken.missing.map(|(by, _)| length(ruler, by)),
        sense: broken.missing.map(|(_, relation)| sense(relation)),
        source: &broken.source,
    }
}

#[derive(Debug, Serialize)]
struct Swept<'a> {
    tuckwright: u32,
    kind: &'static str,
    title: &'a str,
    ruler: Measure,
    unit: &'static str,
    exit: u8,
    gusset: Option<Measure>,
    regions: Vec<OneRegion<'a>>,
    sizes: Vec<OneSize>,
    points: Vec<OnePoint<'a>>,
}

#[derive(Debug, Serialize)]
struct OneRegion<'a> {
    rules: &'a [String],
    sizes: usize,
}

#[derive(Debug, Serialize)]
struct OneSize {
    width: Measure,
    height: Measure,
    verdict: &'static str,
    photo_width: Option<Measure>,
    photo_height: Option<Measure>,
    region: Option<usize>,
}

#[derive(Debug, Serialize)]
struct OnePoint<'a> {
    #[serde(flatten)]
    bag: OneBag<'a>,
    photo: Option<OnePhoto<'a>>,
}

/// The largest photo over all sizes of bag, and bags as points.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn sweep(
    from: From<'_>,
    swept: &Sweep,
    points: &[Offer],
    exit: u8,
) -> serde_json::Result<String> {
    let ruler = from.ruler;
    let grid = &swept.grid;
    let sides = grid
        .heights
        .iter()
        .flat_map(|h| grid.widths.iter().map(move |w| (*w, *h)));
    let size = |((width, height), cell): ((_, _), &Cell)| {
        let (photo, verdict) = match cell {
            Cell::Photo(wide, high, region) => (Some((*wide, *high, *region)), "fits"),
            Cell::NoPhoto => (None, "fits"),
            Cell::DoesNotFit => (None, "does not fit"),
            Cell::Undecided => (None, "undecided"),
        };
        OneSize {
            width: length(ruler, width),
            height: length(ruler, height),
            verdict,
            photo_width: photo.map(|(wide, _, _)| length(ruler, wide)),
            photo_height: photo.map(|(_, high, _)| length(ruler, high)),
            region: photo.map(|(_, _, region)| region),
        }
    };
    let point = |offer| OnePoint {
        bag: bag(ruler, &[], offer),
        photo: offer
            .fit()
            .and_then(|fit| Some(photo(ruler, fit, fit.photo.as_ref()?))),
    };
    pretty(&Swept {
        tuckwright: VERSION,
        kind: "sweep",
        title: from.title,
        ruler: length(ruler, ruler.step()),
        unit: ruler.unit().name(),
        exit,
        gusset: swept.like.gusset.map(|gusset| measure(ruler, gusset)),
        regions: (swept.regions.iter())
            .map(|region| OneRegion {
                rules: &region.rules,
                sizes: region.cells,
            })
            .collect(),
        sizes: sides.zip(&swept.cells).map(size).collect(),
        points: points.iter().map(point).collect(),
    })
}
