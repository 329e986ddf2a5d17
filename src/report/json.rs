//! The same answers for other programs. `help json` tells this shape field by field; what is added
//! to it keeps the version, what is renamed or removed raises it.

pub mod arrange;
pub mod compare;
pub mod cut;
mod explanation;
pub mod price;
mod shape;
pub mod why;

use super::{Answer, From, assumed, cautions, facts, holes, leaf, phrase, place, rules as book};
use crate::album::Grip;
use crate::length::{Interval, Length, Ruler};
use crate::plan::clash::Clash;
use crate::plan::frames::{FramePlan, Laid, What};
use crate::plan::leaf::{PartPlan, PrintPlan};
use crate::plan::{Certainty, InsertPlan, LeafPlan, PhotoPlan, Plan, Reason, SizePlan};
use crate::style::parts::Edge;
use serde::Serialize;
use shape::{
    Assumed, Closed, Head, Held, Holes, Insert, Leaf, Measure, Member, Part, Photo, Photos, Print,
    Ring, RuleLine, Rules, Size, Sizes, Slot, Thickness, Wish,
};

/// Version of the shape.
pub const VERSION: u32 = 2;

/// The answer of `fit`.
#[derive(Debug, Serialize)]
struct Fit<'a> {
    #[serde(flatten)]
    head: Head<'a>,
    #[serde(flatten)]
    plan: Option<Sizes>,
    #[serde(skip_serializing_if = "Option::is_none")]
    explanation: Option<explanation::Explained>,
    cautions: Vec<&'static str>,
}

/// The same album in another bag.
#[derive(Debug, Serialize)]
struct Remade<'a> {
    #[serde(flatten)]
    after: Fit<'a>,
    before: Option<Sizes>,
}

/// What another bag has no place for.
#[derive(Debug, Serialize)]
struct Lacking<'a> {
    #[serde(flatten)]
    head: Head<'a>,
    lacks: Vec<OneLack<'a>>,
}

#[derive(Debug, Serialize)]
struct OneLack<'a> {
    what: &'a str,
    to_do: &'a str,
}

/// What became of an album; `exit` is the exit code that goes with it.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn fit(from: From<'_>, answer: Answer<'_>, exit: u8) -> serde_json::Result<String> {
    pretty(&answered("fit", from, answer, exit))
}

/// What became of an album in another bag; `before` is its plan in its own, where it had one.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn remake(
    from: From<'_>,
    before: Option<&Plan>,
    after: Answer<'_>,
    exit: u8,
) -> serde_json::Result<String> {
    pretty(&Remade {
        after: answered("remake", from, after, exit),
        before: before.map(|plan| sizes(from, plan)),
    })
}

/// What another bag has no place for, and what to do with it.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn lacking(from: From<'_>, lacking: &[(String, &str)], exit: u8) -> serde_json::Result<String> {
    let lacks = lacking.iter().map(|(what, to_do)| OneLack { what, to_do });
    pretty(&Lacking {
        head: Head {
            tuckwright: VERSION,
            kind: "remake",
            title: from.title,
            ruler: length(from.ruler, from.ruler.step()),
            unit: from.ruler.unit().name(),
            verdict: "does not fit",
            exit,
            undecided: None,
            clash: None,
            clash_proved_minimal: None,
        },
        lacks: lacks.collect(),
    })
}

fn answered<'a>(kind: &'static str, from: From<'a>, answer: Answer<'_>, exit: u8) -> Fit<'a> {
    let plan = match answer {
        Answer::Fits(plan) => Some(sizes(from, plan)),
        Answer::Clash(_) | Answer::Undecided(_) => None,
    };
    let explanation = match answer {
        Answer::Clash(explained) => Some(explanation::explanation(from, explained)),
        Answer::Fits(_) | Answer::Undecided(_) => None,
    };
    Fit {
        head: head(kind, from, answer, exit),
        plan,
        explanation,
        cautions: match answer {
            Answer::Fits(plan) => cautions::of(plan).map(|c| c.full).collect(),
            _ => cautions::ALL.iter().map(|c| c.full).collect(),
        },
    }
}

/// The rule book of an album, in the order of the text.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn rules(from: From<'_>, answer: Answer<'_>, exit: u8) -> serde_json::Result<String> {
    let rules = match answer {
        Answer::Fits(plan) => book::ordered(plan),
        Answer::Clash(_) | Answer::Undecided(_) => Vec::new(),
    };
    let line = |rule: &crate::plan::RuleLine| RuleLine {
        rule: rule.name.clone(),
        of: rule.of.clone(),
        wish: rule.wish,
        kept: rule.kept,
        steps_left: rule.steps_left,
        because: phrase::screen(from.ruler, &rule.because),
        source: rule.source.clone(),
        give: rule.give,
    };
    pretty(&Rules {
        head: head("rules", from, answer, exit),
        rules: rules.into_iter().map(line).collect(),
    })
}

pub(super) fn pretty(value: &impl Serialize) -> serde_json::Result<String> {
    let mut text = serde_json::to_string_pretty(value)?;
    text.push('\n');
    Ok(text)
}

fn head<'a>(kind: &'static str, from: From<'a>, answer: Answer<'_>, exit: u8) -> Head<'a> {
    let clash = match answer {
        Answer::Clash(explained) => explained.clashes.first(),
        _ => None,
    };
    Head {
        tuckwright: VERSION,
        kind,
        title: from.title,
        ruler: length(from.ruler, from.ruler.step()),
        unit: from.ruler.unit().name(),
        verdict: verdict(answer),
        exit,
        undecided: match answer {
            Answer::Undecided(why) => Some(super::stopped(why)),
            _ => None,
        },
        clash: clash.map(|it| members(from.ruler, it)),
        clash_proved_minimal: clash.map(|c| c.proved_minimal),
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

fn members(ruler: Ruler, clash: &Clash) -> Vec<Member> {
    let member = |m: &crate::plan::clash::Member| Member {
        rule: m.name.clone(),
        of: m.of.clone(),
        because: m.because.as_ref().map(|it| phrase::screen(ruler, it)),
        source: m.source.clone(),
    };
    clash.members.iter().map(member).collect()
}

fn length(ruler: Ruler, length: Length) -> Measure {
    measure(ruler, Interval::exact(length))
}

fn measure(ruler: Ruler, value: Interval) -> Measure {
    Measure {
        text: ruler.show_interval(value),
        mm: value.least().mm(),
        mm_most: (!value.is_exact()).then(|| value.most().mm()),
    }
}

fn size(ruler: Ruler, size: &SizePlan) -> Size {
    Size {
        name: size.name.clone(),
        leaf: size.leaf.clone(),
        value: measure(ruler, size.value),
        held_by: size
            .held_by
            .iter()
            .map(|reason| held(ruler, reason))
            .collect(),
    }
}

fn held(ruler: Ruler, reason: &Reason) -> Held {
    let told = |rule: &str, because: String| Held {
        rule: rule.to_owned(),
        because,
        source: String::new(),
    };
    match reason {
        Reason::Rule {
            name,
            because,
            source,
            ..
        } => Held {
            rule: name.clone(),
            because: phrase::screen(ruler, because),
            source: source.clone(),
        },
        Reason::Preference(title) => {
            told(&format!("preference: {title}"), "it comes first".to_owned())
        }
        Reason::Limit(limit) => told("limit", format!("its own limit is {}", ruler.show(*limit))),
        Reason::Given => told("given", "the album or its supplies say it".to_owned()),
        Reason::Measured => told("measured", "it was measured on what is made".to_owned()),
        Reason::Unknown => told(
            "unknown",
            "a limit was met before the reason was found".to_owned(),
        ),
    }
}

fn sizes(from: From<'_>, plan: &Plan) -> Sizes {
    let ruler = plan.ruler;
    let exact = |value: Length| length(ruler, value);
    let stack = Thickness {
        at_holes: measure(ruler, plan.stack_at_holes),
        in_middle: measure(ruler, plan.stack_in_middle),
    };
    Sizes {
        style: plan.style.clone(),
        proofs: plan.proofs,
        sizes: all_sizes(plan)
            .into_iter()
            .map(|s| size(ruler, s))
            .collect(),
        unlimited: plan.unlimited.clone(),
        unread: plan.unread.clone(),
        holes: Holes {
            count: plan.holes.heights.len(),
            diameter: measure(ruler, plan.holes.diameter),
            edge: (!plan.holes.heights.is_empty()).then(|| measure(ruler, plan.holes.edge)),
            heights: plan
                .holes
                .heights
                .iter()
                .map(|h| measure(ruler, *h))
                .collect(),
            spacing: plan.holes.pitch.map(|p| measure(ruler, p)),
            pattern: plan.holes.pattern.clone(),
        },
        leaves: plan.leaves.iter().map(|l| one_leaf(plan, l)).collect(),
        parts: plan.parts.iter().map(|p| part(ruler, p)).collect(),
        photos: facts::photos(plan)
            .into_iter()
            .map(|p| Photos {
                count: p.count,
                width: measure(ruler, p.width),
                height: measure(ruler, p.height),
            })
            .collect(),
        ring: plan.ring.as_ref().map(|ring| Ring {
            name: ring.name.clone(),
            inside: measure(ruler, ring.inside),
            wire: ring.wire.map(|w| measure(ruler, w)),
            takes: exact(ring.takes),
        }),
        stack,
        closed: plan.closed.map(|c| Closed {
            width: exact(c.width),
            height: exact(c.height),
            thickness: exact(c.thickness),
        }),
        wishes_not_kept: plan
            .rules
            .iter()
            .filter(|r| r.wish && !r.kept)
            .map(|r| Wish {
                rule: r.name.clone(),
                of: r.of.clone(),
                because: phrase::screen(ruler, &r.because),
                source: r.source.clone(),
            })
            .collect(),
        assumed: plan
            .assumed
            .iter()
            .map(|a| Assumed {
                name: a.name.clone(),
                value: phrase::screen(ruler, &a.value),
                why: a.why.clone(),
                how: assumed::how(a, from.bag),
            })
            .collect(),
    }
}

/// Every size: the template's, then leaf by leaf, then those of the album's own parts, then others.
fn all_sizes(plan: &Plan) -> Vec<&SizePlan> {
    let mut all: Vec<&SizePlan> = plan.template.iter().collect();
    for leaf in &plan.leaves {
        all.extend(leaf.parts.iter().flat_map(|p| [&p.width, &p.height]));
        for insert in &leaf.inserts {
            all.extend([&insert.width, &insert.height]);
            all.extend(insert.photo.iter().flat_map(|p| [&p.width, &p.height]));
        }
    }
    all.extend(plan.parts.iter().flat_map(|p| [&p.width, &p.height]));
    all.extend(&plan.others);
    all
}

fn one_leaf(plan: &Plan, leaf: &LeafPlan) -> Leaf {
    let ruler = plan.ruler;
    let of = |value: Interval| measure(ruler, value);
    Leaf {
        name: leaf.name.clone(),
        count: leaf.count,
        turned: leaf.turned,
        punched_at: holes::punched_at(plan, leaf),
        bag: leaf.bag.clone(),
        width: of(leaf.width),
        height: of(leaf.height),
        slots: place::frame(plan, leaf).map_or(Vec::new(), |frame| {
            frame.slots().map(|it| slot(ruler, frame, it)).collect()
        }),
        parts: leaf.parts.iter().map(|p| part(ruler, p)).collect(),
        inserts: leaf.inserts.iter().map(|i| insert(plan, leaf, i)).collect(),
        thickness: Thickness {
            at_holes: of(leaf.thickness_at_holes),
            in_middle: of(leaf.thickness),
        },
        layers_at_holes: leaf.layers_at_holes.clone(),
        punch_takes: leaf.punch_takes.map(of),
        ring_takes: plan.ring.as_ref().and(leaf.capacity),
    }
}

fn slot(ruler: Ruler, frame: &FramePlan, slot: &Laid) -> Slot {
    let opens = match slot.what {
        What::Slot(opens) => opens,
        _ => None,
    };
    let depth = opens.map(|edge| match edge {
        Edge::Left | Edge::Right => slot.width,
        Edge::Low | Edge::High => slot.height,
    });
    let word = |edge: Edge| match edge {
        Edge::Left => "left",
        Edge::Right => "right",
        Edge::Low => "low",
        Edge::High => "high",
    };
    let at = |nm: i64| length(ruler, Length::from_nm(nm));
    let inside = frame.parts.iter().filter(|part| {
        let of = part.slot.and_then(|of| frame.parts.get(of));
        of.is_some_and(|of| std::ptr::eq(of, slot))
    });
    Slot {
        name: slot.name.clone(),
        title: slot.title.clone(),
        opens: opens.map(word),
        edge: slot.edge.clone(),
        depth: depth.map(|depth| measure(ruler, depth)),
        mouth: slot.mouth.map(|mouth| measure(ruler, mouth)),
        left: at(slot.area.left),
        right: at(slot.area.right),
        low: at(slot.area.low),
        high: at(slot.area.high),
        back: slot.back,
        inserts: inside.map(|part| part.name.clone()).collect(),
    }
}

fn part(ruler: Ruler, part: &PartPlan) -> Part {
    Part {
        name: part.label.clone(),
        count: part.count,
        paper: part.paper.clone(),
        width: measure(ruler, part.width.value),
        height: measure(ruler, part.height.value),
        runs_under: part.runs_under.map(|r| measure(ruler, r)),
    }
}

fn insert(plan: &Plan, leaf: &LeafPlan, insert: &InsertPlan) -> Insert {
    let ruler = plan.ruler;
    let laid = place::laid(plan, leaf, &insert.name);
    let shows = laid.and_then(|laid| place::frame(plan, leaf)?.shows(laid));
    let shows = shows.map(|(least, most)| {
        let (least, most) = (Length::from_nm(least), Length::from_nm(most));
        let text = match least == most {
            true => ruler.show(least),
            false => format!("{} to {}", ruler.show(least), ruler.show(most)),
        };
        Measure {
            text,
            mm: least.mm(),
            mm_most: (least != most).then(|| most.mm()),
        }
    });
    Insert {
        name: insert.name.clone(),
        place: place::place(plan, leaf, &insert.name).to_owned(),
        count: insert.count,
        paper: insert.paper.clone(),
        width: measure(ruler, insert.width.value),
        height: measure(ruler, insert.height.value),
        shows,
        grip: match insert.grip {
            Grip::Plain => "plain",
            Grip::Notch => "notch",
            Grip::Tab => "tab",
            Grip::String => "string",
        },
        thickness: measure(ruler, insert.thickness),
        photo: insert.photo.as_ref().map(|p| photo(ruler, p)),
    }
}

fn photo(ruler: Ruler, photo: &PhotoPlan) -> Photo {
    let of = |value: Interval| measure(ruler, value);
    Photo {
        width: of(photo.width.value),
        height: of(photo.height.value),
        print: photo.print.as_ref().map(|p| print(ruler, p)),
        border_side: of(photo.border_side),
        border_above: of(photo.border_above),
        caption_strip: of(photo.caption_strip),
    }
}

fn print(ruler: Ruler, print: &PrintPlan) -> Print {
    Print {
        name: print.name.clone(),
        turned: print.turned,
        width: measure(ruler, print.width),
        height: measure(ruler, print.height),
        off_left: length(ruler, print.off_left),
        off_right: length(ruler, print.off_right),
        off_end: length(ruler, print.off_end),
        says: phrase::screen(ruler, &leaf::trims(print)),
    }
}
