//! What is told of a rule: as the reason of a size, and in a clash.

use super::{common, each, plan_sizes};
use tuckwright::length::Length;
use tuckwright::plan::phrase::{Phrase, Piece};
use tuckwright::plan::{Plan, Reason, Sides, SizePlan};
use tuckwright::program::UnknownId;
use tuckwright::program::expand::RowSource;
use tuckwright::report::phrase::screen;
use tuckwright::solve::Limits;
use tuckwright::style::Style;
use tuckwright::style::expr::{Number, Relation};
use tuckwright::{Outcome, Worked, work};

/// A told length, and by how much it may be off because it is no whole nanometres.
fn length(told: &Phrase) -> Option<(i64, i64)> {
    match told.0.as_slice() {
        [Piece::About(value)] => Some((value.least().nm(), 1)),
        [Piece::Length(value)] => Some((value.least().nm(), 0)),
        _ => None,
    }
}

/// What is left over between two told sides; nothing where they are no lengths.
fn left_over(sides: &Sides) -> Option<(i64, i64)> {
    let ((left, a), (right, b)) = (length(&sides.left)?, length(&sides.right)?);
    let slack = match sides.relation {
        Relation::AtMost => right - left,
        Relation::AtLeast => left - right,
        Relation::Equal => -(left - right).abs(),
    };
    Some((slack, a + b))
}

/// A row in force of a rule of that name: what is left over in it (nanometres), and how much of it one
/// unit of the unknown takes.
fn rows<'w>(
    style: &'w Style,
    worked: &'w Worked,
    rule: &'w str,
    unknown: UnknownId,
) -> impl Iterator<Item = (Number, Option<Number>)> + 'w {
    let (expanded, solution) = (&worked.expanded, &worked.solution);
    let program = &expanded.program;
    let named = move |at: usize| style.rules.get(at).is_some_and(|r| r.name == rule);
    let instances = program.instances.iter().filter(move |it| named(it.rule));
    let rows = instances.flat_map(|it| it.rows.clone());
    rows.filter_map(move |row| {
        let in_force = program.rows[row]
            .guards
            .iter()
            .all(|guard| solution.taken[guard.group.0 as usize] == Some(guard.alternative));
        let RowSource::Form { form, side } = &expanded.row_sources[row] else {
            return None;
        };
        let side = Number::from_integer((*side).into());
        let whole = |n: i64| Number::from_integer(n.into());
        let step = whole(expanded.ruler.step().nm());
        let of_unknowns = form
            .unknowns
            .iter()
            .map(|(id, n)| side * n * step * whole(solution.values[id.0 as usize]));
        let of_givens = form.givens.iter().map(|(id, n)| {
            let value = expanded.model.interval(*id);
            let times = side * n;
            let end: Length = if times > whole(0) {
                value.most()
            } else {
                value.least()
            };
            times * whole(end.nm())
        });
        let sum: Number = of_unknowns.chain(of_givens).sum();
        let mut terms = form.unknowns.iter();
        let takes = terms.find(|(id, _)| *id == unknown).map(|(_, n)| {
            let takes = n * step;
            if takes < whole(0) { -takes } else { takes }
        });
        in_force.then_some((-sum, takes))
    })
}

/// The unknown behind a size, where it was found.
fn unknown_of(worked: &Worked, plan: &Plan, size: &SizePlan) -> Option<UnknownId> {
    let name = match plan.leaves.len() > 1 && !size.leaf.is_empty() {
        true => format!("{}: {}", size.leaf, size.name),
        false => size.name.clone(),
    };
    let unknowns = &worked.expanded.program.unknowns;
    let at = unknowns.iter().position(|it| it.name == name)?;
    Some(UnknownId(at as u32))
}

#[test]
fn a_reason_is_told_by_the_row_that_stops_the_size() {
    let (mut of_the_size, mut of_others) = (0, 0);
    each(|seed, style, worked| {
        let Outcome::Fits(plan) = &worked.outcome else {
            return;
        };
        for size in plan_sizes(plan) {
            let Some(unknown) = unknown_of(worked, plan, size) else {
                continue;
            };
            let mut mentioned = false;
            let mut rules = 0;
            for reason in &size.held_by {
                let Reason::Rule {
                    name,
                    sides: Some(sides),
                    ..
                } = reason
                else {
                    continue;
                };
                let Some((told, play)) = left_over(sides) else {
                    continue;
                };
                rules += 1;
                let near = |slack: &Number| {
                    let off = *slack - Number::from_integer(told.into());
                    off <= Number::from_integer(play.into())
                        && off >= -Number::from_integer(play.into())
                };
                let same: Vec<_> = rows(style, worked, name, unknown)
                    .filter(|(slack, _)| near(slack))
                    .collect();
                assert!(
                    !same.is_empty(),
                    "album {seed}: {} {}: {sides:?}",
                    size.leaf,
                    size.name
                );
                // Less than one step of the size is left over.
                let stops = |(slack, takes): &(Number, Option<Number>)| {
                    takes.is_some_and(|takes| *slack < takes)
                };
                if same.iter().any(stops) {
                    mentioned = true;
                    of_the_size += 1;
                } else {
                    of_others += 1;
                }
            }
            let preferred = size
                .held_by
                .iter()
                .any(|r| matches!(r, Reason::Preference(_)));
            assert!(
                mentioned || preferred || rules == 0,
                "album {seed}: {} {}: {:#?}",
                size.leaf,
                size.name,
                size.held_by
            );
        }
    });
    println!("{of_the_size} rows of the size itself, {of_others} of others behind it");
    assert!(of_the_size > 1_000);
}

/// Width and height of a panel in one rule, both without a step to spare.
const PANEL: &str = r#"style = "panels"
[quantity]
reveal = { value = "1/8 in", why = "bag seen beside the panel" }
[[unknown]]
name = "panel.width"
for = ["leaf in leaves"]
prefer = "large"
why = "cut size"
[[unknown]]
name = "panel.height"
for = ["leaf in leaves"]
prefer = "large"
why = "cut size"
[[rule]]
name = "the panel leaves its reveals"
for = ["leaf in leaves"]
require = ['panel.width + 2 * reveal <= leaf.width', 'panel.height + 2 * reveal <= leaf.height']
because = "panel and reveals need {left}; there is {right}"
source = "test"
"#;

#[test]
fn of_a_rule_with_two_rows_each_size_is_told_its_own() {
    let style = common::style(PANEL);
    let album = common::read(
        "album = \"Panels\"\nruler = \"1/8 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"bag\"\n\
         [[bag]]\nname = \"bag\"\nsize = \"6 x 9 in\"\nbottom = \"pinch\"\n",
    );
    let worked = work(&style, &album, &Limits::default()).expect("it is an album");
    let Outcome::Fits(plan) = &worked.outcome else {
        panic!("it fits");
    };
    let told: Vec<_> = plan_sizes(plan)
        .into_iter()
        .map(|size| match &size.held_by[..] {
            [Reason::Rule { because, .. }] => (size.name.as_str(), screen(plan.ruler, because)),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(
        told,
        [
            (
                "panel.width",
                "panel and reveals need 6 in; there is 6 in".into()
            ),
            (
                "panel.height",
                "panel and reveals need 9 in; there is 9 in".into()
            ),
        ]
    );
}

/// Numbers of a clash are those of sizes that there can be.
#[test]
fn no_clash_is_told_with_sizes_of_nothing() {
    let mut members = 0;
    each(|seed, _, worked| {
        let Outcome::Clash(clash) = &worked.outcome else {
            return;
        };
        for member in &clash.members {
            let because = member.because.as_ref().expect("it is told");
            let because = screen(worked.expanded.ruler, because);
            // An insert may be wanted to show nothing: that is given.
            let given_nothing = because.contains("may show") || because.contains("to show");
            let words: Vec<&str> = because.split_whitespace().collect();
            let nothing = words.windows(2).any(|pair| {
                matches!(pair, ["0", unit] if unit.starts_with("in") || unit.starts_with("mm"))
            });
            let negative = words.iter().any(|word| {
                let rest = word.strip_prefix('-').unwrap_or("");
                rest.starts_with(|c: char| c.is_ascii_digit())
            });
            assert!(
                !negative && (!nothing || given_nothing),
                "album {seed}: {}: {because}",
                member.name
            );
            members += 1;
        }
    });
    println!("{members} members");
    assert!(members > 100);
}
