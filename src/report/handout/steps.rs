//! What to do, in the order of work, with what to check after each step: the style's sentences, and
//! what this program knows of pieces, photos, holes and inserts where a step asks for it.

mod measured;

use super::said::{gauged, plain, sized};
use super::{Block, Bullet, Table, tidied};
use crate::album::Album;
use crate::plan::frames::{FramePlan, What};
use crate::plan::phrase::{Phrase, Piece};
use crate::plan::steps::StepPlan;
use crate::plan::{LeafPlan, Plan};
use crate::report::words::{capital, count, grip, listed};
use crate::report::{phrase, place};
use crate::style::parts::{Bound, Edge};
pub use crate::style::steps::{Shows, Uses};
use itertools::Itertools;

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

/// One step as it is printed.
pub struct Step {
    /// With its number; empty for what is said before all of them.
    pub title: String,
    pub blocks: Vec<Block>,
    pub uses: Option<Uses>,
    pub shows: Option<Shows>,
    /// It is done to leaves, not to the album.
    pub of_leaves: bool,
}

/// All steps in their order; none if the style has none. `on_sheets`: there is a plan for cutting.
pub fn steps(album: &Album, plan: &Plan, on_sheets: bool) -> Vec<Step> {
    let mut all = Vec::new();
    let mut n = 0;
    for step in &plan.steps {
        let facts = match facts(album, plan, step, on_sheets) {
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
        let does = together(plan, does);
        let mut blocks = Vec::new();
        let title = match &step.title {
            None => {
                blocks.extend(does.into_iter().map(Block::Text));
                String::new()
            }
            Some(title) => {
                n += 1;
                let title = format!("{n}. {title}");
                blocks.push(Block::Heading(title.clone()));
                if !does.is_empty() {
                    blocks.push(Block::List(Bullet::Dash, does));
                }
                title
            }
        };
        blocks.extend(facts.table.map(Block::Table));
        if step.shows == Some(Shows::Papers) {
            blocks.extend(designs(plan).map(Block::Table));
        }
        let care = step.care.as_ref().map(|it| phrase::print(plan.ruler, it));
        // What is said anyway is said once.
        let known = |said: &String| {
            let said = said.trim_end_matches('.').to_lowercase();
            facts.care.as_ref().is_some_and(|it| it.starts_with(&said))
        };
        let care = care.filter(|said| !known(said));
        for care in care.into_iter().chain(facts.care) {
            blocks.push(Block::Text(format!("Take care: {care}")));
        }
        let checks = step.checks.iter().map(|it| phrase::print(plan.ruler, it));
        let checks = checks.chain(facts.checks).map(|it| format!("Check: {it}"));
        let checks: Vec<String> = checks.collect();
        if !checks.is_empty() {
            blocks.push(Block::List(Bullet::Tick, checks));
        }
        all.push(Step {
            title,
            blocks: tidied(blocks),
            uses: step.uses.clone(),
            shows: step.shows,
            of_leaves: step.of_leaves,
        });
    }
    all
}

/// Numbers steps anew in the order in which they stand; what is measured and the template have none, as they
/// stand elsewhere.
pub fn number(steps: &mut [Step]) {
    let mut n = 0;
    for step in steps {
        let Some((_, bare)) = step.title.split_once(". ") else {
            continue;
        };
        let apart = step.shows == Some(Shows::Template) || step.uses == Some(Uses::Measure);
        let title = match apart {
            true => bare.to_owned(),
            false => {
                n += 1;
                format!("{n}. {bare}")
            }
        };
        if let Some(Block::Heading(head)) = step.blocks.first_mut() {
            head.clone_from(&title);
        }
        step.title = title;
    }
}

/// Which design each piece of each leaf is of; `None` if no paper has several.
fn designs(plan: &Plan) -> Option<Table> {
    let mut names: Vec<&str> = Vec::new();
    let mut leaves: Vec<(Option<usize>, i64)> = Vec::new();
    for it in &plan.designs {
        if !names.contains(&it.name.as_str()) {
            names.push(&it.name);
        }
        leaves.push((it.leaf, it.copy));
    }
    leaves.sort_by_key(|(leaf, copy)| (leaf.is_none(), *leaf, *copy));
    leaves.dedup();
    let rows = leaves.iter().map(|(leaf, copy)| {
        let of = leaf.and_then(|leaf| plan.leaves.get(leaf));
        let title = of.map_or("The album itself".to_owned(), |of| match of.count {
            1 => capital(&of.name),
            _ => format!("{} {copy}", capital(&of.name)),
        });
        let cell = |name: &&str| {
            let here = plan.designs.iter();
            let here =
                here.filter(|it| (it.leaf, it.copy, it.name.as_str()) == (*leaf, *copy, *name));
            here.map(|it| it.design.as_str())
                .collect::<Vec<_>>()
                .join(", ")
        };
        std::iter::once(title)
            .chain(names.iter().map(cell))
            .collect()
    });
    let head = names.iter().map(|name| capital(&plain(name)));
    let rows: Vec<Vec<String>> = rows.collect();
    (!rows.is_empty()).then(|| Table {
        head: std::iter::once("Which design".to_owned())
            .chain(head)
            .collect(),
        rows,
        ..Table::default()
    })
}

/// What is said alike of several kinds of leaf, said once: `Cover (1 leaf) and shore (4 leaves): ...`. The
/// only kind is not named.
fn together(plan: &Plan, said: Vec<String>) -> Vec<String> {
    // The kind that a sentence begins with, and what follows.
    let split = |sentence: &str| -> Option<(usize, usize)> {
        let begins = plan.leaves.iter().enumerate().filter_map(|(n, leaf)| {
            let name = capital(&leaf.name);
            let each = each(plan, leaf);
            let long = [each, name]
                .into_iter()
                .find(|it| sentence.starts_with(it))?;
            let next = sentence[long.len()..].chars().next()?;
            (!next.is_alphanumeric() && !"-_ ".contains(next)).then_some((n, long.len()))
        });
        begins.max_by_key(|(_, long)| *long)
    };
    let mut all: Vec<(Vec<String>, String)> = Vec::new();
    for sentence in said {
        let Some((leaf, at)) = split(&sentence) else {
            all.push((Vec::new(), sentence));
            continue;
        };
        let (head, rest) = sentence.split_at(at);
        let same = |(heads, known): &&mut (Vec<String>, String)| !heads.is_empty() && known == rest;
        match all.iter_mut().find(same) {
            Some((heads, _)) => {
                let name = &plan.leaves[leaf].name;
                let long = capital(name).len();
                heads.push(format!("{name}{}", &head[long..]));
            }
            None => all.push((vec![head.to_owned()], rest.to_owned())),
        }
    }
    let told = all.into_iter().map(|(heads, rest)| {
        let bare = rest.strip_prefix(": ").or_else(|| rest.strip_prefix(", "));
        match bare.filter(|_| plan.leaves.len() == 1 && !heads.is_empty()) {
            Some(bare) => capital(bare),
            None if heads.len() > 1 && heads.len() == plan.leaves.len() => {
                format!("Every {}{rest}", place::titles(plan)[0])
            }
            None => format!("{}{rest}", listed(&heads)),
        }
    });
    told.collect()
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
fn facts(album: &Album, plan: &Plan, step: &StepPlan, on_sheets: bool) -> Option<Facts> {
    match &step.uses {
        None => Some(Facts::default()),
        Some(Uses::Measure) => Some(measured::measure(album, plan)),
        Some(Uses::Cut) => cut(album, plan, on_sheets),
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

fn cut(album: &Album, plan: &Plan, on_sheets: bool) -> Option<Facts> {
    let ready = album.leaves.iter().flat_map(|leaf| &leaf.inserts);
    let cut = ready.filter(|insert| insert.card.is_none()).count()
        + plan
            .leaves
            .iter()
            .map(|leaf| leaf.parts.len())
            .sum::<usize>()
        + plan.parts.len();
    let [one, more] = place::titles(plan);
    let [on_its, on_their] = match plan.leaves.is_empty() {
        true => [String::new(), String::new()],
        false => [format!(" on its {one}"), format!(" on their {more}")],
    };
    let first = match on_sheets {
        true => format!(
            "Cut sheet 1 and lay its pieces{on_their} as drawn; where they lie well, cut the other sheets. Write on each piece what it is."
        ),
        false => format!(
            "Cut one of each size from the list first, and lay it{on_its} as drawn. If it lies well, cut the others."
        ),
    };
    (cut > 0).then(|| Facts {
        first: vec![first],
        care: Some("cut away from your hand; cap the blade when you put it down.".to_owned()),
        ..Facts::default()
    })
}

/// Which side of a kind of leaf is up, and where its template lies.
fn mark(album: &Album, plan: &Plan, name: &str) -> Option<Facts> {
    let ruler = plan.ruler;
    let (mut then, mut thickness) = (Vec::new(), Vec::new());
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
                "template face DOWN, {} up, at the {} edge",
                place::edge(frame, Edge::High),
                place::direction(edge).to_uppercase()
            ),
            (Some(edge), false) => {
                format!("template face up, at the {} edge", place::direction(edge))
            }
            (None, _) => "template face up".to_owned(),
        };
        // What is folded is pierced from the inside, its template in the fold.
        let side = &frame.sides[usize::from(frame.bound == Bound::Fold)];
        then.push(format!("{}: {side} up, {up}.", capital(&leaf.name)));
        if let Some(takes) = leaf.punch_takes
            && marked.diameter.is_some()
        {
            let thick = leaf.thickness_at_holes;
            thickness.push(match takes.least() < thick.most() {
                true => format!(
                    "{}: open the {this} and punch layer by layer through the template; it is {} thick, the punch takes {}.",
                    capital(&leaf.name),
                    crate::report::words::about(ruler, thick),
                    gauged(ruler, takes)
                ),
                false => format!("{}: punch one {this} at a time.", capital(&leaf.name)),
            });
        }
    }
    then.extend(thickness);
    for frame in plan.frames.iter().filter(|frame| frame.leaf.is_none()) {
        let Some(marked) = frame.marks.iter().find(|mark| mark.name == name) else {
            continue;
        };
        let [one, more] = &frame.titles;
        let titled = if frame.count == 1 { one } else { more };
        let up = &frame.sides[0];
        let lies = place::marks(frame, name).unwrap_or_default();
        let many = frame.marks.iter().filter(|mark| mark.name == name).count();
        let wide = marked
            .diameter
            .map(|it| format!(" of {}", gauged(ruler, it)));
        then.push(format!(
            "{} {titled}, {up} up: {}{}, {}.",
            frame.count,
            count(many as i64, &marked.titles[0], &marked.titles[1]),
            wide.unwrap_or_default(),
            phrase::print(ruler, &lies)
        ));
        then.extend(marked.lay.clone());
    }
    let Some((titles, hole)) = titles else {
        return (!then.is_empty()).then(|| Facts {
            then,
            ..Facts::default()
        });
    };
    if let Some(eyelet) = plan.eyelet(album).filter(|_| hole) {
        then.push(format!(
            "Set an eyelet, {} outside, into every {}.",
            gauged(ruler, eyelet),
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
                let trims = crate::report::leaf::trims(print);
                format!("{} ", phrase::print(ruler, &trims))
            });
            then.push(format!(
                "{}, {}: {trim}Glue the photo, {}, on its mat as drawn.",
                capital(&leaf.name),
                plain(&insert.name),
                sized(ruler, photo.width.value, photo.height.value),
            ));
        }
    }
    (!then.is_empty()).then(|| Facts {
        then,
        checks: vec!["the borders are those of the drawing. Try a spoilt print first.".to_owned()],
        ..Facts::default()
    })
}

fn tuck(plan: &Plan) -> Option<Facts> {
    let ruler = plan.ruler;
    let mut then = Vec::new();
    for leaf in &plan.leaves {
        let mut told = Vec::new();
        for insert in &leaf.inserts {
            let slot = place::slot(plan, leaf, &insert.name);
            let print = |said: &Phrase| phrase::print(ruler, said);
            let into = slot.and_then(|slot| slot.glue.as_ref()).map(print);
            let mut said =
                vec![into.unwrap_or_else(|| place::place(plan, leaf, &insert.name).to_owned())];
            let shows = place::shows(ruler, plan, leaf, &insert.name);
            said.extend(shows.as_ref().map(print));
            said.extend(slot.and_then(|slot| slot.note.as_ref()).map(print));
            said.extend(grip(insert.grip).map(str::to_owned));
            if insert.count > 1 {
                said.push(format!("{} of them together", insert.count));
            }
            told.push(format!("{}: {}", plain(&insert.name), said.join(", ")));
        }
        if !told.is_empty() {
            then.push(format!("{}: {}.", capital(&leaf.name), told.join("; ")));
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
            true => format!("{} of {}, turned over, {other} up", leaf.count, leaf.name),
            false => format!("{} of {}, {first} up", leaf.count, leaf.name),
        });
    }
    let frame = plan.frames.iter().find(|frame| frame.leaf.is_some());
    let how = match frame.map(|frame| frame.bound) {
        Some(Bound::Fold) => "in each other in this order, the first outermost",
        Some(Bound::No) => "in this order",
        _ => "in order, the first on top",
    };
    let leaves = place::titles(plan)[1];
    Facts {
        first: vec![format!("Lay the {leaves} {how}: {}.", all.join("; "))],
        ..Facts::default()
    }
}

/// Whether a step sends a hand to the drawing of a side: of what is glued there, or of what a sentence names.
pub fn sends_to(plan: &Plan, frame: &FramePlan, back: bool) -> bool {
    let says = |said: &Phrase| {
        let mut pieces = said.0.iter();
        pieces.any(|it| matches!(it, Piece::Words(words) if words.contains("drawn")))
    };
    let does = plan.steps.iter().flat_map(|step| &step.does);
    let does: Vec<&Phrase> = does.filter(|said| says(said)).collect();
    let named = |name: &String| {
        let mut pieces = does.iter().flat_map(|said| &said.0);
        pieces.any(|it| matches!(it, Piece::Names(names) if names.contains(name)))
    };
    frame.parts.iter().filter(|it| it.back == back).any(|laid| {
        let slot = laid.slot.and_then(|slot| frame.parts.get(slot));
        let glued = slot.and_then(|slot| slot.glue.as_ref()).is_some_and(says);
        glued || matches!(laid.what, What::Insert(..)) && named(&laid.name)
    })
}

/// What has to be on the table, in the order of the steps.
pub fn needs(plan: &Plan) -> Vec<String> {
    let all = plan.steps.iter().flat_map(|step| &step.needs);
    let all = all.map(|need| capital(&phrase::print(plan.ruler, need)));
    all.unique().collect()
}

/// The same for several albums, each thing once.
pub fn all_needs<'p>(plans: impl Iterator<Item = &'p Plan>) -> Vec<String> {
    plans.flat_map(needs).unique().collect()
}
