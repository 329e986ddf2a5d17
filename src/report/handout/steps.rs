//! What to do, in the order of work, with what to measure and check after each step.

use super::said::{grip, length, lengths, place, plain, shows, sized, stands};
use super::{Block, Bullet, Section, Table, stops, tidy};
use crate::album::{Album, Grip};
use crate::length::Interval;
use crate::plan::Where;
use crate::plan::{LeafPlan, Plan};
use crate::report::fit;
use crate::report::words::{capital, count};
use crate::supplies::Bottom;

/// Heading, what to do, what to check.
struct Step {
    title: String,
    does: Vec<String>,
    table: Option<Table>,
    checks: Vec<String>,
    care: Option<&'static str>,
}

/// All steps.
pub fn steps(album: &Album, plan: &Plan) -> Section {
    let mut all = vec![
        fold(album, plan),
        measure(plan),
        template(plan),
        cut(),
        glue(plan),
    ];
    all.extend(stops(plan));
    all.extend(grips(plan));
    all.push(punch(album, plan));
    all.extend(photos(plan));
    all.push(tuck(plan));
    all.push(bind(plan));
    let mut blocks = vec![Block::Text(
        "Make one leaf of each kind from beginning to end before you cut for all of them: bags differ."
            .to_owned(),
    )];
    for (n, step) in all.into_iter().enumerate() {
        blocks.push(Block::Heading(format!("{}. {}", n + 1, step.title)));
        if !step.does.is_empty() {
            blocks.push(Block::List(Bullet::Dash, step.does));
        }
        blocks.extend(step.table.map(Block::Table));
        if let Some(care) = step.care {
            blocks.push(Block::Text(format!("Take care: {care}")));
        }
        let checks = step.checks.iter().map(|c| format!("Check: {c}")).collect();
        if !step.checks.is_empty() {
            blocks.push(Block::List(Bullet::Tick, checks));
        }
    }
    tidy(Section {
        title: "Building it, step by step".to_owned(),
        blocks,
    })
}

fn quantity(plan: &Plan, name: &str) -> Option<String> {
    let value = plan.quantities.get(name)?;
    Some(length(plan.ruler, *value))
}

fn each(leaf: &LeafPlan) -> String {
    format!(
        "{} ({})",
        capital(&leaf.name),
        count(leaf.count, "leaf", "leaves")
    )
}

fn fold(album: &Album, plan: &Plan) -> Step {
    let mut does = Vec::new();
    for (leaf, said) in plan.leaves.iter().zip(&album.leaves) {
        let bag = &album.supplies.bags[said.bag];
        let flat = sized(plan.ruler, bag.width, bag.height);
        let made = match (&bag.pocket, bag.folded, bag.bottom, leaf.pocket_edge) {
            (_, Some(folded), _, Some(edge)) => format!(
                "fold the bag up at its tail to a leaf {} high, so that a pocket {} high stands in front; glue the pocket's sides",
                length(plan.ruler, folded),
                length(plan.ruler, edge)
            ),
            (Some(pocket), _, _, Some(edge)) => format!(
                "make the pocket{}, its edge {} above the tail",
                pocket
                    .why
                    .as_ref()
                    .map_or(String::new(), |why| format!(" ({why})")),
                length(plan.ruler, edge)
            ),
            (None, _, Bottom::Block, Some(edge)) => format!(
                "lay the bag flat, its bottom flap turned up onto the front: its edge, {} above the tail, is the pocket's edge; glue the flap down at its two sides only",
                length(plan.ruler, edge)
            ),
            _ => "lay the bag flat, mouth at the head; it has no pocket".to_owned(),
        };
        does.push(format!("{}, {} of {flat}: {made}.", each(leaf), leaf.bag));
    }
    if let Some(seam) = quantity(plan, "glue_seam")
        && plan.leaves.iter().any(|l| l.pocket_edge.is_some())
    {
        does.push(format!(
            "Keep the glue within {seam} of the pocket's sides, and none at its edge: the pocket stays open above."
        ));
    }
    does.push("Press the leaves flat under a weight until the glue is dry.".to_owned());
    Step {
        title: "Fold the leaves".to_owned(),
        does,
        table: None,
        checks: vec!["a strip of card slides down into every pocket and every slot.".to_owned()],
        care: None,
    }
}

fn measure(plan: &Plan) -> Step {
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
        row("width", leaf.width);
        row("height, tail to mouth", leaf.height);
        if let Some(edge) = leaf.pocket_edge {
            row("pocket's edge above the tail", edge);
        }
        if let Some(depth) = leaf.pocket_depth {
            row("how deep a card slides into the pocket", depth);
        }
        for (name, depth) in &leaf.sections {
            let slot = match name.as_str() {
                "front" => "how deep a card slides into the front slot",
                "back" => "how deep a card slides into the back slot",
                _ => "how deep a card slides into the mouth",
            };
            row(slot, *depth);
        }
    }
    let mut does = vec![
        "Measure a finished, pressed leaf of each kind, before the template or any paper is cut. Write down what you find."
            .to_owned(),
    ];
    let assumed = fit::assumed_lines(&plan.assumed, false);
    if !assumed.is_empty() {
        does.push("What follows is assumed so far; measure it too:".to_owned());
        does.extend(assumed);
    }
    let head = ["Leaf", "Measure", "Planned", "Yours"];
    Step {
        title: "Measure a finished leaf".to_owned(),
        does,
        table: Some(Table {
            head: head.map(str::to_owned).to_vec(),
            rows,
            blanks: vec![3],
            ..Table::default()
        }),
        checks: vec![
            "your measures are the planned ones. If one differs, write it into the album, under “measured” of its leaf, and print again: every other size follows."
                .to_owned(),
        ],
        care: None,
    }
}

fn template(plan: &Plan) -> Step {
    let ruler = plan.ruler;
    let mut checks = vec![
        "the bars on the printed template are 100 mm and 4 in long, by your own ruler. If not, print again at 100 %, not fitted to the page."
            .to_owned(),
    ];
    let heights: Vec<String> = plan
        .holes
        .heights
        .iter()
        .map(|h| length(ruler, *h))
        .collect();
    checks.push(format!(
        "hole centres are {} above the template's lower edge and {} from its spine edge.",
        lengths(&heights),
        length(ruler, plan.holes.edge)
    ));
    Step {
        title: "Make the template".to_owned(),
        does: vec![
            "Glue the printed template on stiff card; let it dry under a weight.".to_owned(),
            "Cut it out along its wide lines: spine edge and tail must be exact, the others need not be."
                .to_owned(),
            "Punch its holes, each centred on its cross. Write which side is up on its back too."
                .to_owned(),
        ],
        table: None,
        checks,
        care: Some("cut away from the hand that holds the paper; keep fingers out of the punch's jaws."),
    }
}

fn cut() -> Step {
    Step {
        title: "Cut the papers".to_owned(),
        does: vec![
            "Cut one of each piece from the list; the outlines at true scale are there to check against or to trace."
                .to_owned(),
            "Lay each on its leaf as drawn. If it lies well, cut the others.".to_owned(),
        ],
        table: None,
        checks: vec!["each piece covers its printed outline, corner on corner.".to_owned()],
        care: Some("fingers behind the trimmer's guard; cap the blade when you put it down."),
    }
}

fn glue(plan: &Plan) -> Step {
    let ruler = plan.ruler;
    let mut does = Vec::new();
    for leaf in &plan.leaves {
        let part = |label: &str| leaf.parts.iter().find(|p| p.label == label);
        let mut said = Vec::new();
        if let Some(mat) = part("front_mat") {
            let under = mat.runs_under.map_or(String::new(), |run| {
                format!(
                    ", its lower end {} down behind the pocket's edge",
                    length(ruler, run)
                )
            });
            said.push(format!(
                "front mat, even at both sides{under}, {} of bag above it",
                quantity(plan, "head_reveal").unwrap_or_else(|| "a little".to_owned())
            ));
        }
        if part("pocket_mat").is_some() {
            said.push("pocket mat on the pocket, even all round".to_owned());
        }
        if part("band").is_some() {
            let glue =
                quantity(plan, "band_glue").map_or(String::new(), |g| format!(", {g} at each end"));
            said.push(format!(
                "band across the pocket, glued at its ends only{glue}"
            ));
        }
        if part("back_mat").is_some() {
            said.push("back mat, even at both sides, and at head and tail".to_owned());
        }
        for part in &leaf.parts {
            if !["front_mat", "pocket_mat", "band", "back_mat"].contains(&part.label.as_str()) {
                said.push(plain(&part.label));
            }
        }
        if !said.is_empty() {
            does.push(format!("{}: {}.", each(leaf), said.join("; then ")));
        }
    }
    if does.is_empty() {
        does.push("No leaf has a mat.".to_owned());
    } else {
        does.push(
            "A printed paper lies with its top at the head. Press until it is dry.".to_owned(),
        );
    }
    Step {
        title: "Glue the mats".to_owned(),
        does,
        table: None,
        checks: vec!["no glue closes a mouth, a pocket, or the way under a band.".to_owned()],
        care: Some("hot glue burns, and is too thick for this; use little of a glue for paper."),
    }
}

fn stops(plan: &Plan) -> Option<Step> {
    let does = stops::lines(plan);
    (!does.is_empty()).then(|| Step {
        title: "Make the stops under the bands".to_owned(),
        does,
        table: None,
        checks: vec![
            "a card slides down behind its band and stands level at the tail; no hole will go through the strip."
                .to_owned(),
        ],
        care: None,
    })
}

fn grips(plan: &Plan) -> Option<Step> {
    let mut does = Vec::new();
    for leaf in &plan.leaves {
        for insert in &leaf.inserts {
            let name = plain(&insert.name);
            let of = format!("{}, {name}", capital(&leaf.name));
            does.extend(match insert.grip {
                Grip::Plain => None,
                Grip::Notch => {
                    let radius = quantity(plan, "notch_radius")
                        .map_or(String::new(), |r| format!(" of radius {r}"));
                    let from = match insert.goes {
                        Where::Pocket => "the pocket's edge",
                        _ => "the mouth",
                    };
                    Some(format!(
                        "{of}: cut a thumb notch{radius} into the middle of {from}, on the pocket side, through the layer in front of it only."
                    ))
                }
                Grip::Tab => Some(format!("{of}: glue a pull tab to its upper end.")),
                Grip::String => {
                    let edge = quantity(plan, "string_edge")
                        .map_or(String::new(), |e| format!(", its centre {e} below its head"));
                    Some(format!(
                        "{of}: punch a small hole in the middle{edge}, and loop a string through it."
                    ))
                }
            });
        }
    }
    (!does.is_empty()).then(|| Step {
        title: "Notches, tabs and strings".to_owned(),
        does,
        table: None,
        checks: vec![
            "slide a card in before you cut a notch, so that only the front layer is cut."
                .to_owned(),
        ],
        care: Some("strings and small parts are not for children under three."),
    })
}

fn punch(album: &Album, plan: &Plan) -> Step {
    let ruler = plan.ruler;
    let mut does = vec![
        "Lay the template on a leaf, its tail at the tail fold and its spine edge at the spine edge: these two, not the mouth, which is often ragged. Hold both with clips."
            .to_owned(),
    ];
    for leaf in &plan.leaves {
        let up = match leaf.turned {
            true => "the template face down, head up, at the RIGHT edge: this leaf is turned over",
            false => "the template face up, at the left edge",
        };
        let mut said = format!("{}: pocket side up, {up}.", each(leaf));
        if let Some(takes) = leaf.punch_takes {
            let thick = leaf.thickness_at_holes;
            said.push_str(&match takes.least() < thick.most() {
                true => format!(
                    " It is {} thick there, the punch takes {}: open the leaf and punch layer by layer, each through the punched template.",
                    super::said::about(ruler, thick),
                    length(ruler, takes)
                ),
                false => " One leaf at a time.".to_owned(),
            });
        }
        does.push(said);
    }
    let mut checks = vec![
        "lay the punched leaves on each other, tails level: you see light through every hole."
            .to_owned(),
    ];
    if let Some(eyelet) = album.template.eyelet {
        does.push(format!(
            "Set an eyelet, {} outside, into every hole.",
            length(ruler, eyelet)
        ));
    }
    checks.push(format!(
        "a hole's centre is {} from the spine edge.",
        length(ruler, plan.holes.edge)
    ));
    Step {
        title: "Punch the holes".to_owned(),
        does,
        table: None,
        checks,
        care: Some("keep fingers out of the jaws, and force no punch through more than it takes."),
    }
}

fn photos(plan: &Plan) -> Option<Step> {
    let ruler = plan.ruler;
    let mut does = Vec::new();
    for leaf in &plan.leaves {
        for insert in &leaf.inserts {
            let Some(photo) = &insert.photo else { continue };
            let trim = photo.print.as_ref().map_or(String::new(), |print| {
                format!("{} ", capital(&crate::report::leaf::trims(ruler, print)))
            });
            does.push(format!(
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
    (!does.is_empty()).then(|| Step {
        title: "Trim and mount the photos".to_owned(),
        does,
        table: None,
        checks: vec![
            "the photo lies on the inner frame of its printed outline. Try a spoilt print first."
                .to_owned(),
        ],
        care: Some("bag paper is not photo-safe: use copies, or photo-safe paper between."),
    })
}

fn tuck(plan: &Plan) -> Step {
    let ruler = plan.ruler;
    let mut does = Vec::new();
    for leaf in &plan.leaves {
        for insert in &leaf.inserts {
            let mut said = vec![place(insert).to_owned()];
            if insert.goes == Where::Back {
                said = vec!["glue it on the back where it is drawn, clear of the holes".to_owned()];
            }
            said.extend(shows(ruler, insert));
            said.extend(stands(leaf, insert).map(str::to_owned));
            said.extend(grip(insert).map(str::to_owned));
            if insert.count > 1 {
                said.push(format!("{} of them together", insert.count));
            }
            does.push(format!(
                "{}, {}: {}.",
                capital(&leaf.name),
                plain(&insert.name),
                said.join("; ")
            ));
        }
    }
    if does.is_empty() {
        does.push("Nothing is tucked in.".to_owned());
    }
    let mut checks =
        vec!["each slides in and out without force, and none covers a hole.".to_owned()];
    if plan
        .leaves
        .iter()
        .any(|l| l.turned && l.inserts.iter().any(|i| i.goes != Where::Back))
    {
        checks.push(
            "in a turned leaf the holes are at the right of the pocket: what is tucked in stays to the left."
                .to_owned(),
        );
    }
    Step {
        title: "Tuck everything in".to_owned(),
        does,
        table: None,
        checks,
        care: None,
    }
}

fn bind(plan: &Plan) -> Step {
    let mut order: Vec<String> = Vec::new();
    for leaf in &plan.leaves {
        order.push(match leaf.turned {
            true => format!(
                "{} of {}, back up, turned like a page",
                leaf.count, leaf.name
            ),
            false => format!("{} of {}, pocket side up", leaf.count, leaf.name),
        });
    }
    let rings = match &plan.ring {
        Some(ring) => format!("Put a ring ({}) through each of the holes.", ring.name),
        None => "Put a ring through each of the holes.".to_owned(),
    };
    Step {
        title: "Bind it".to_owned(),
        does: vec![
            format!("Lay the leaves in order, the first on top: {}.", order.join("; ")),
            rings,
        ],
        table: None,
        checks: vec![
            "heads up, all mouths above, tails level; every leaf turns, and the album closes without force."
                .to_owned(),
        ],
        care: Some("rings and small parts are not for children under three."),
    }
}
