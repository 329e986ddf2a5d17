//! The same answers for other programs. `help json` tells this shape field by field; what is added
//! to it keeps the version, what is renamed or removed raises it. Fields stand in the order in which they are written here.

pub mod arrange;
pub mod compare;
pub mod cut;
mod explanation;
pub mod price;
pub mod why;

use super::{Answer, From, assumed, cautions, facts, holes, leaf, phrase, place, rules as book};
use crate::length::{Interval, Length, Ruler};
use crate::plan::beyond::Beyond;
use crate::plan::frames::{FramePlan, Laid, What};
use crate::plan::leaf::{PartPlan, PrintPlan};
use crate::plan::{Certainty, InsertPlan, LeafPlan, PhotoPlan, Plan, Reason, RuleLine, SizePlan};
use crate::style::parts::Edge;
use serde_json::{Value, json};

/// Version of the shape.
const VERSION: u32 = 2;

/// What became of an album; `exit` is the exit code that goes with it.
pub fn fit(from: From<'_>, answer: Answer<'_>, exit: u8) -> String {
    pretty(&answered("fit", from, answer, exit))
}

/// What became of an album in another bag; `before` is its plan in its own, where it had one.
pub fn remake(from: From<'_>, before: Option<&Plan>, after: Answer<'_>, exit: u8) -> String {
    let before = before.map(|plan| sizes(from, plan));
    let after = answered("remake", from, after, exit);
    pretty(&joined([after, json!({ "before": before })]))
}

/// What another bag has no place for, and what to do with it.
pub fn lacking(from: From<'_>, lacking: &[(String, &str)], exit: u8) -> String {
    let lack = |(what, to_do): &(String, &str)| json!({ "what": what, "to_do": to_do });
    let more = json!({ "verdict": "does not fit", "exit": exit, "lacks": list(lacking, lack) });
    pretty(&joined([
        start("remake"),
        about(from.title, from.ruler),
        more,
    ]))
}

fn answered(kind: &str, from: From<'_>, answer: Answer<'_>, exit: u8) -> Value {
    let (more, cautions): (_, Value) = match answer {
        Answer::Fits(plan) => (
            sizes(from, plan),
            cautions::of(plan).map(|c| c.full).collect(),
        ),
        _ => (Value::Null, cautions::ALL.iter().map(|c| c.full).collect()),
    };
    let explanation = match answer {
        Answer::Clash(explained) => {
            json!({ "explanation": explanation::explanation(from, explained) })
        }
        _ => Value::Null,
    };
    let head = head(kind, from, answer, exit);
    joined([head, more, explanation, json!({ "cautions": cautions })])
}

/// The rule book of an album, in the order of the text.
pub fn rules(from: From<'_>, answer: Answer<'_>, exit: u8) -> String {
    let rules = match answer {
        Answer::Fits(plan) => book::ordered(plan),
        _ => Vec::new(),
    };
    let line = |rule: &RuleLine| {
        json!({
            "rule": rule.name,
            "of": rule.of,
            "wish": rule.wish,
            "kept": rule.kept,
            "steps_left": rule.steps_left,
            "because": phrase::screen(from.ruler, &rule.because),
            "source": rule.source,
            "give": rule.give,
        })
    };
    let head = head("rules", from, answer, exit);
    pretty(&joined([head, json!({ "rules": list(rules, line) })]))
}

pub(super) fn pretty(value: &Value) -> String {
    format!("{value:#}\n")
}

/// One object of all fields of these; null has none.
pub(super) fn joined<const N: usize>(all: [Value; N]) -> Value {
    let fields = |value| match value {
        Value::Object(fields) => fields,
        _ => serde_json::Map::new(),
    };
    Value::Object(all.into_iter().flat_map(fields).collect())
}

/// A value for each of them.
pub(super) fn list<T>(all: impl IntoIterator<Item = T>, one: impl FnMut(T) -> Value) -> Value {
    all.into_iter().map(one).collect()
}

/// What every answer starts with.
pub(super) fn start(kind: &str) -> Value {
    json!({ "tuckwright": VERSION, "kind": kind })
}

/// What it is an answer for.
fn about(title: &str, ruler: Ruler) -> Value {
    let step = measure(ruler, ruler.step());
    json!({ "title": title, "ruler": step, "unit": ruler.unit().name() })
}

fn head(kind: &str, from: From<'_>, answer: Answer<'_>, exit: u8) -> Value {
    let verdict = json!({ "verdict": verdict(answer), "exit": exit });
    let clash = match answer {
        Answer::Clash(explained) => explained.clashes.first(),
        _ => None,
    };
    let clash = clash.map(|clash| {
        let members = list(&clash.members, |member| {
            let because = member.because.as_ref();
            json!({
                "rule": member.name,
                "of": member.of,
                "because": because.map(|it| phrase::screen(from.ruler, it)),
                "source": member.source,
            })
        });
        json!({ "clash": members, "clash_proved_minimal": clash.proved_minimal })
    });
    let about = about(from.title, from.ruler);
    joined([
        start(kind),
        about,
        verdict,
        undecided(answer),
        clash.unwrap_or_default(),
    ])
}

fn undecided(answer: Answer<'_>) -> Value {
    match answer {
        Answer::Undecided(why) => json!({ "undecided": super::stopped(why) }),
        _ => Value::Null,
    }
}

fn verdict(answer: Answer<'_>) -> &'static str {
    match answer {
        Answer::Fits(plan) if plan.certainty == Certainty::Best => "fits, proved best",
        Answer::Fits(_) => "fits, best found",
        Answer::Clash(_) => "does not fit",
        Answer::Undecided(_) => "undecided",
    }
}

/// A length: exact as text, and in millimetres as near as a float gets.
fn measure(ruler: Ruler, value: impl Into<Interval>) -> Value {
    let value = value.into();
    between(ruler.show_interval(value), value.least(), value.most())
}

fn between(text: String, least: Length, most: Length) -> Value {
    let mut said = json!({ "text": text, "mm": least.mm() });
    if least != most {
        said["mm_most"] = json!(most.mm());
    }
    said
}

fn size(ruler: Ruler, size: &SizePlan) -> Value {
    joined([
        json!({ "name": size.name, "leaf": size.leaf }),
        measure(ruler, size.value),
        json!({ "held_by": held(ruler, &size.held_by) }),
    ])
}

fn held(ruler: Ruler, reasons: &[Reason]) -> Value {
    list(reasons, |reason| {
        let plain = |rule: &str, because: &str| (rule.to_owned(), because.to_owned(), "");
        let (rule, because, source) = match reason {
            Reason::Rule {
                name,
                because,
                source,
                ..
            } => (
                name.clone(),
                phrase::screen(ruler, because),
                source.as_str(),
            ),
            Reason::Preference(title) => plain(&format!("preference: {title}"), "it comes first"),
            Reason::Limit(limit) => {
                plain("limit", &format!("its own limit is {}", ruler.show(*limit)))
            }
            Reason::Given => plain("given", "the album or its supplies say it"),
            Reason::Measured => plain("measured", "it was measured on what is made"),
            Reason::Unknown => plain("unknown", "a limit was met before the reason was found"),
        };
        json!({ "rule": rule, "because": because, "source": source })
    })
}

fn sizes(from: From<'_>, plan: &Plan) -> Value {
    let ruler = plan.ruler;
    let holes = &plan.holes;
    let ring = plan.ring.as_ref().map(|ring| {
        json!({
            "name": ring.name,
            "inside": measure(ruler, ring.inside),
            "wire": ring.wire.map(|wire| measure(ruler, wire)),
            "takes": measure(ruler, ring.takes),
        })
    });
    let marks =
        (plan.frames.iter()).flat_map(|frame| frame.marks.iter().map(move |it| (frame, it)));
    let wish = |wish: &RuleLine| {
        json!({
            "rule": wish.name,
            "of": wish.of,
            "because": phrase::screen(ruler, &wish.because),
            "source": wish.source,
        })
    };
    json!({
        "style": plan.style,
        "proofs": plan.proofs,
        "sizes": list(plan.sizes(), |it| size(ruler, it)),
        "unlimited": plan.unlimited,
        "unread": plan.unread,
        "larger_than_sheet": list(&plan.beyond, |it| beyond(ruler, it)),
        "holes": {
            "count": holes.heights.len(),
            "diameter": measure(ruler, holes.diameter),
            "edge": (!holes.heights.is_empty()).then(|| measure(ruler, holes.edge)),
            "heights": list(&holes.heights, |height| measure(ruler, *height)),
            "spacing": holes.pitch.map(|pitch| measure(ruler, pitch)),
            "pattern": holes.pattern,
        },
        "marks": list(marks, |(frame, it)| json!({
            "of": frame.name,
            "leaf": frame.leaf.and_then(|at| plan.leaves.get(at)).map(|leaf| &leaf.name),
            "name": it.name,
            "across": it.across.map(|across| measure(ruler, across)),
            "up": it.up.map(|up| measure(ruler, up)),
            "diameter": it.diameter.map(|wide| measure(ruler, wide)),
        })),
        "leaves": list(&plan.leaves, |leaf| one_leaf(plan, leaf)),
        "parts": list(&plan.parts, |it| part(ruler, it)),
        "photos": photos(plan),
        "ring": ring,
        "stack": {
            "at_holes": measure(ruler, plan.stack_at_holes),
            "in_middle": measure(ruler, plan.stack_in_middle),
        },
        "closed": closed(plan),
        "wishes_not_kept": list(plan.rules.iter().filter(|it| it.wish && !it.kept), wish),
        "assumed": list(&plan.assumed, |it| json!({
            "name": it.name,
            "value": phrase::screen(ruler, &it.value),
            "why": it.why,
            "how": assumed::how(it, from.bag),
        })),
    })
}

fn beyond(ruler: Ruler, it: &Beyond) -> Value {
    let [wide, high] = it.sheet.map(|side| measure(ruler, side));
    json!({
        "name": it.name,
        "leaf": it.leaf,
        "width": measure(ruler, it.width),
        "height": measure(ruler, it.height),
        "paper": it.paper,
        "sheet": { "width": wide, "height": high },
    })
}

fn photos(plan: &Plan) -> Value {
    list(facts::photos(plan), |((width, height), count)| {
        let [width, height] = [width, height].map(|it| measure(plan.ruler, it));
        json!({ "count": count, "width": width, "height": height })
    })
}

fn closed(plan: &Plan) -> Option<Value> {
    let closed = plan.closed?;
    Some(json!({
        "width": measure(plan.ruler, closed.width),
        "height": measure(plan.ruler, closed.height),
        "thickness": measure(plan.ruler, closed.thickness),
    }))
}

fn one_leaf(plan: &Plan, leaf: &LeafPlan) -> Value {
    let ruler = plan.ruler;
    let of = |value: Interval| measure(ruler, value);
    let frame = place::frame(plan, leaf);
    let slots = frame.map(|frame| list(frame.slots(), |it| slot(ruler, frame, it)));
    json!({
        "name": leaf.name,
        "count": leaf.count,
        "turned": leaf.turned,
        "punched_at": holes::punched_at(plan, leaf),
        "bag": leaf.bag,
        "width": of(leaf.width),
        "height": of(leaf.height),
        "slots": slots.unwrap_or_else(|| json!([])),
        "parts": list(&leaf.parts, |it| part(ruler, it)),
        "inserts": list(&leaf.inserts, |it| insert(plan, leaf, it)),
        "thickness": { "at_holes": of(leaf.thickness_at_holes), "in_middle": of(leaf.thickness) },
        "layers_at_holes": leaf.layers_at_holes,
        "punch_takes": leaf.punch_takes.map(of),
        "ring_takes": plan.ring.as_ref().and(leaf.capacity),
    })
}

/// Its ends are those in the middle of what its sizes may be.
fn slot(ruler: Ruler, frame: &FramePlan, slot: &Laid) -> Value {
    let opens = match slot.what {
        What::Slot(opens) => opens,
        _ => None,
    };
    let opens = opens.map(|edge| match edge {
        Edge::Left => ("left", slot.width),
        Edge::Right => ("right", slot.width),
        Edge::Low => ("low", slot.height),
        Edge::High => ("high", slot.height),
    });
    let at = |nm: i64| measure(ruler, Length::from_nm(nm));
    let inside = frame.parts.iter().filter(|part| {
        let of = part.slot.and_then(|of| frame.parts.get(of));
        of.is_some_and(|of| std::ptr::eq(of, slot))
    });
    json!({
        "name": slot.name,
        "title": slot.title,
        "opens": opens.map(|(edge, _)| edge),
        "edge": slot.edge,
        "depth": opens.map(|(_, depth)| measure(ruler, depth)),
        "mouth": slot.mouth.map(|mouth| measure(ruler, mouth)),
        "left": at(slot.area.left),
        "right": at(slot.area.right),
        "low": at(slot.area.low),
        "high": at(slot.area.high),
        "back": slot.back,
        "inserts": list(inside, |part| json!(part.name)),
    })
}

fn part(ruler: Ruler, part: &PartPlan) -> Value {
    json!({
        "name": part.label,
        "count": part.count,
        "paper": part.paper,
        "width": measure(ruler, part.width.value),
        "height": measure(ruler, part.height.value),
        "runs_under": part.runs_under.map(|under| measure(ruler, under)),
    })
}

fn insert(plan: &Plan, leaf: &LeafPlan, insert: &InsertPlan) -> Value {
    let ruler = plan.ruler;
    let laid = place::laid(plan, leaf, &insert.name);
    let shows = laid.and_then(|laid| place::frame(plan, leaf)?.shows(laid));
    // From and to: an interval has no ends below nothing.
    let shows = shows.map(|(least, most)| {
        let (least, most) = (Length::from_nm(least), Length::from_nm(most));
        let text = match least == most {
            true => ruler.show(least),
            false => format!("{} to {}", ruler.show(least), ruler.show(most)),
        };
        between(text, least, most)
    });
    json!({
        "name": insert.name,
        "place": place::place(plan, leaf, &insert.name),
        "count": insert.count,
        "paper": insert.paper,
        "width": measure(ruler, insert.width.value),
        "height": measure(ruler, insert.height.value),
        "shows": shows,
        "grip": insert.grip.word(),
        "tab": insert.tab.as_ref().map(|tab| json!({
            "width": measure(ruler, tab.width.value),
            "height": measure(ruler, tab.height.value),
        })),
        "thickness": measure(ruler, insert.thickness),
        "photo": insert.photo.as_ref().map(|it| photo(ruler, it)),
    })
}

fn photo(ruler: Ruler, photo: &PhotoPlan) -> Value {
    json!({
        "width": measure(ruler, photo.width.value),
        "height": measure(ruler, photo.height.value),
        "print": photo.print.as_ref().map(|it| print(ruler, it)),
        "border_side": measure(ruler, photo.border_side),
        "border_above": measure(ruler, photo.border_above),
        "border_below": measure(ruler, photo.border_below),
    })
}

fn print(ruler: Ruler, print: &PrintPlan) -> Value {
    json!({
        "name": print.name,
        "turned": print.turned,
        "width": measure(ruler, print.width),
        "height": measure(ruler, print.height),
        "off_left": measure(ruler, print.off_left),
        "off_right": measure(ruler, print.off_right),
        "off_end": measure(ruler, print.off_end),
        "says": phrase::screen(ruler, &leaf::trims(print)),
    })
}
