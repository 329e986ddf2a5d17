//! What to do, in the order of work, with what to check after each step: the style's sentences, and
//! what this program knows of pieces, photos, holes and inserts where a step asks for it.

use super::said::{grip, length, plain, sized};
use super::{Block, Bullet, Section, Table, tidy};
use crate::album::Album;
use crate::length::{Interval, Length};
use crate::plan::phrase::Phrase;
use crate::plan::steps::StepPlan;
use crate::plan::{LeafPlan, Plan};
use crate::report::words::capital;
use crate::report::{assumed, phrase, place};
use crate::style::parts::{Bound, Edge, Uses};

/// What a step holds beside the style's own sentences.
#[derive(Default)]
struct Facts {
    /// Before and behind them.
    first: Vec<String>,
    then: Vec<String>,
    table: Option<Table>,
    checks: Vec<String>,
    care: Option<String>,
}

/// All steps; `None` if the style has none.
pub fn steps(album: &Album, plan: &Plan) -> Option<Section> {
    let mut blocks = Vec::new();
    let mut n = 0;
    for step in &plan.steps {
        let facts = match facts(album, plan, step) {
            Some(facts) if !step.idle => facts,
            _ if step.none.is_none() => continue,
            _ => Facts::default(),
        };
        let idle = step.idle || facts.is_empty(step);
        let said = |phrases: &[Phrase]| -> Vec<String> {
            let all = phrases.iter();
            all.map(|it| phrase::sentence(plan.ruler, it)).collect()
        };
        let does = match (&step.none, idle) {
            (Some(none), true) => vec![none.clone()],
            _ => [facts.first, said(&step.does), facts.then].concat(),
        };
        let Some(title) = &step.title else {
            blocks.extend(does.into_iter().map(Block::Text));
            continue;
        };
        n += 1;
        blocks.push(Block::Heading(format!("{n}. {title}")));
        if !does.is_empty() {
            blocks.push(Block::List(Bullet::Dash, does));
        }
        blocks.extend(facts.table.map(Block::Table));
        let care = step.care.as_ref().map(|it| phrase::print(plan.ruler, it));
        for care in care.into_iter().chain(facts.care) {
            blocks.push(Block::Text(format!("Take care: {care}")));
        }
        let checks = step.checks.iter().map(|it| phrase::print(plan.ruler, it));
        let checks = checks.chain(facts.checks).map(|it| format!("Check: {it}"));
        let checks: Vec<String> = checks.collect();
        if !checks.is_empty() {
            blocks.push(Block::List(Bullet::Tick, checks));
        }
    }
    (!blocks.is_empty()).then(|| {
        tidy(Section {
            title: "Building it, step by step".to_owned(),
            blocks,
        })
    })
}

impl Facts {
    fn is_empty(&self, step: &StepPlan) -> bool {
        step.does.is_empty()
            && self.first.is_empty()
            && self.then.is_empty()
            && self.table.is_none()
    }
}

/// What a step asks for; `None` if there is nothing of it in this album.
fn facts(album: &Album, plan: &Plan, step: &StepPlan) -> Option<Facts> {
    match &step.uses {
        None => Some(Facts::default()),
        Some(Uses::Measure) => Some(measure(plan)),
        Some(Uses::Cut) => cut(album, plan),
        Some(Uses::Photos) => photos(plan),
        Some(Uses::Tuck) => tuck(plan),
        Some(Uses::Order) => Some(order(plan)),
        Some(Uses::Mark(name)) => mark(album, plan, name),
    }
}

fn each(plan: &Plan, leaf: &LeafPlan) -> String {
    let leaves = place::count(plan, leaf.count);
    format!("{} ({leaves})", capital(&leaf.name))
}

fn measure(plan: &Plan) -> Facts {
    let mut rows = Vec::new();
    for leaf in &plan.leaves {
        let mut row = |what: &str, value: Interval| {
            rows.push(vec![
                leaf.name.clone(),
                what.to_owned(),
                length(plan.ruler, value),
                String::new(),
            ]);
        };
        let Some(frame) = place::frame(plan, leaf) else {
            continue;
        };
        if let Some([width, height]) = &frame.measures {
            row(width, frame.width);
            row(height, frame.height);
        }
        // What has no room is not there to be measured.
        let measures = frame.parts.iter().filter_map(|part| part.measure.as_ref());
        for (what, value) in measures.filter(|(_, value)| value.most() > Length::ZERO) {
            row(what, *value);
        }
    }
    let mut then = Vec::new();
    let assumed = assumed::lines(&plan.assumed, assumed::Told::Printed);
    if !assumed.is_empty() {
        then.push("What follows is assumed so far; measure it too:".to_owned());
        then.extend(assumed.iter().map(|said| super::said::typographic(said)));
    }
    let head = [
        &capital(place::titles(plan)[0]),
        "Measure",
        "Planned",
        "Yours",
    ];
    Facts {
        then,
        table: (!rows.is_empty()).then(|| Table {
            head: head.map(str::to_owned).to_vec(),
            rows,
            blanks: vec![3],
            ..Table::default()
        }),
        checks: vec![
            "your measures are the planned ones. If one differs, write it into the album, under “measured” of its leaf, and print again: every other size follows."
                .to_owned(),
        ],
        ..Facts::default()
    }
}

fn cut(album: &Album, plan: &Plan) -> Option<Facts> {
    let ready = album.leaves.iter().flat_map(|leaf| &leaf.inserts);
    let cut = ready.filter(|insert| insert.card.is_none()).count()
        + plan
            .leaves
            .iter()
            .map(|leaf| leaf.parts.len())
            .sum::<usize>()
        + plan.parts.len();
    (cut > 0).then(|| Facts {
        first: vec![
            "Cut one of each piece from the list; the outlines at true scale are there to check against or to trace."
                .to_owned(),
            format!(
                "Lay each on its {} as drawn. If it lies well, cut the others.",
                place::titles(plan)[0]
            ),
        ],
        checks: vec!["each piece covers its printed outline, corner on corner.".to_owned()],
        care: Some(
            "fingers behind the trimmer's guard; cap the blade when you put it down.".to_owned(),
        ),
        ..Facts::default()
    })
}

/// Which side of a kind of leaf is up, and where its template lies.
fn mark(album: &Album, plan: &Plan, name: &str) -> Option<Facts> {
    let ruler = plan.ruler;
    let mut then = Vec::new();
    let mut titles = None;
    for leaf in &plan.leaves {
        let frame = place::frame(plan, leaf)?;
        let Some(marked) = frame.marks.iter().find(|mark| mark.name == name) else {
            continue;
        };
        titles = Some((&marked.titles, marked.diameter.is_some()));
        let this = &frame.titles[0];
        let up = match (place::bound_at(plan, leaf), leaf.turned) {
            (Some(edge), true) => format!(
                "the template face down, {} up, at the {} edge: this {this} is turned over",
                place::edge(frame, Edge::High),
                place::direction(edge).to_uppercase()
            ),
            (Some(edge), false) => format!(
                "the template face up, at the {} edge",
                place::direction(edge)
            ),
            (None, _) => "the template face up".to_owned(),
        };
        let mut said = format!("{}: {} up, {up}.", each(plan, leaf), frame.sides[0]);
        if let Some(takes) = leaf.punch_takes
            && marked.diameter.is_some()
        {
            let thick = leaf.thickness_at_holes;
            said.push_str(&match takes.least() < thick.most() {
                true => format!(
                    " It is {} thick there, the punch takes {}: open the {this} and punch layer by layer, each through the punched template.",
                    super::said::about(ruler, thick),
                    length(ruler, takes)
                ),
                false => format!(" One {this} at a time."),
            });
        }
        then.push(said);
    }
    for frame in plan.frames.iter().filter(|frame| frame.leaf.is_none()) {
        let Some(marked) = frame.marks.iter().find(|mark| mark.name == name) else {
            continue;
        };
        let [one, more] = &frame.titles;
        let titled = if frame.count == 1 { one } else { more };
        let up = &frame.sides[0];
        let lies = place::marks(frame, name).unwrap_or_default();
        then.push(format!(
            "{} {titled}, {up} up: {} {} of {}, {}.",
            frame.count,
            frame.heights(name).len(),
            marked.titles[1],
            marked
                .diameter
                .map_or(String::new(), |it| length(ruler, it)),
            phrase::print(ruler, &lies)
        ));
        then.extend(marked.lay.iter().map(|lay| super::said::typographic(lay)));
    }
    let Some((titles, hole)) = titles else {
        return (!then.is_empty()).then(|| Facts {
            then,
            ..Facts::default()
        });
    };
    if let Some(eyelet) = album.template.eyelet.filter(|_| hole) {
        then.push(format!(
            "Set an eyelet, {} outside, into every {}.",
            length(ruler, eyelet),
            titles[0]
        ));
    }
    Some(Facts {
        then,
        ..Facts::default()
    })
}

fn photos(plan: &Plan) -> Option<Facts> {
    let ruler = plan.ruler;
    let mut then = Vec::new();
    for leaf in &plan.leaves {
        for insert in &leaf.inserts {
            let Some(photo) = &insert.photo else { continue };
            let trim = photo.print.as_ref().map_or(String::new(), |print| {
                let trims = crate::report::leaf::trims(ruler, print);
                format!("{} ", super::said::typographic(&capital(&trims)))
            });
            then.push(format!(
                "{}, {}: {trim}Glue the photo, {}, on its mat: {} from its head, {} from each side; {} stays below for a caption.",
                capital(&leaf.name),
                plain(&insert.name),
                sized(ruler, photo.width.value, photo.height.value),
                length(ruler, photo.border_above),
                length(ruler, photo.border_side),
                length(ruler, photo.caption_strip),
            ));
        }
    }
    (!then.is_empty()).then(|| Facts {
        then,
        checks: vec![
            "the photo lies on the inner frame of its printed outline. Try a spoilt print first."
                .to_owned(),
        ],
        ..Facts::default()
    })
}

fn tuck(plan: &Plan) -> Option<Facts> {
    let ruler = plan.ruler;
    let mut then = Vec::new();
    for leaf in &plan.leaves {
        for insert in &leaf.inserts {
            let slot = place::slot(plan, leaf, &insert.name);
            let print = |said: &Phrase| phrase::print(ruler, said);
            let into = slot.and_then(|slot| slot.glue.as_ref()).map(print);
            let mut said =
                vec![into.unwrap_or_else(|| place::place(plan, leaf, &insert.name).to_owned())];
            let shows = place::shows(ruler, plan, leaf, &insert.name);
            said.extend(shows.as_ref().map(print));
            said.extend(slot.and_then(|slot| slot.note.as_ref()).map(print));
            said.extend(grip(insert).map(str::to_owned));
            if insert.count > 1 {
                said.push(format!("{} of them together", insert.count));
            }
            then.push(format!(
                "{}, {}: {}.",
                capital(&leaf.name),
                plain(&insert.name),
                said.join("; ")
            ));
        }
    }
    (!then.is_empty()).then(|| Facts {
        then,
        ..Facts::default()
    })
}

/// In which order the leaves lie, and which side up.
fn order(plan: &Plan) -> Facts {
    let mut all: Vec<String> = Vec::new();
    for leaf in &plan.leaves {
        let [first, other] = [true, false].map(|first| place::side(plan, leaf, first));
        all.push(match leaf.turned {
            true => format!(
                "{} of {}, {other} up, turned like a page",
                leaf.count, leaf.name
            ),
            false => format!("{} of {}, {first} up", leaf.count, leaf.name),
        });
    }
    let frame = plan.frames.iter().find(|frame| frame.leaf.is_some());
    let how = match frame.map(|frame| frame.bound) {
        Some(Bound::Fold) => "in each other in this order, the first outermost",
        _ => "in order, the first on top",
    };
    let leaves = place::titles(plan)[1];
    Facts {
        first: vec![format!("Lay the {leaves} {how}: {}.", all.join("; "))],
        ..Facts::default()
    }
}

/// What has to be on the table, in the order of the steps.
pub fn needs(plan: &Plan) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for step in &plan.steps {
        for need in &step.needs {
            let said = capital(&phrase::print(plan.ruler, need));
            if !all.contains(&said) {
                all.push(said);
            }
        }
    }
    all
}
