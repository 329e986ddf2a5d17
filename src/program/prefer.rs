//! The order in which things are settled: template and ring, what the maker prefers, the other
//! wishes, each unknown's own preference.

use super::fault::ExpandError;
use super::maker::{Maker, RowSource, SizeOf};
use super::*;
use crate::scene::ThingId;
use crate::style::Prefer;
use crate::text::{Place, Said, meant};
use itertools::Itertools;
use std::collections::BTreeSet;

/// The rule number of an instance that defines a helper unknown, and is no rule of the style.
pub const DEFINITION: usize = usize::MAX;

/// Writes [`Program::stages`].
pub(super) fn stages(maker: &mut Maker<'_>) {
    let first_unknowns = first_unknowns(maker);
    let first_groups = first_groups(maker);
    let wishes: Vec<InstanceId> = (0..maker.out.program.instances.len() as u32)
        .map(InstanceId)
        .filter(|i| maker.out.program.instances[i.0 as usize].force == Force::Wish)
        .collect();
    let mut kept = BTreeSet::new();
    let of_template =
        |w: &&InstanceId| speaks_only_of(&maker.out.program, **w, &first_unknowns, &first_groups);
    let mut first: Vec<InstanceId> = wishes.iter().filter(of_template).copied().collect();
    // Those that the album names come before the others, in its order.
    first.sort_by_key(|wish| named_at(maker, *wish));
    for wish in first {
        keep(maker, &mut kept, wish);
    }
    own_preferences(maker, true);
    maker.out.program.first_stages = maker.out.program.stages.len();
    for said in maker.album.prefer.clone() {
        named(maker, &mut kept, &said);
    }
    for &wish in &wishes {
        keep(maker, &mut kept, wish);
    }
    own_preferences(maker, false);
}

/// The line of the album's `prefer` that names a wish; behind all lines where none does.
fn named_at(maker: &Maker<'_>, wish: InstanceId) -> usize {
    let rule = maker.out.program.instances[wish.0 as usize].rule;
    let name = maker.style.rules.get(rule).map_or("", |r| r.name.as_str());
    let names = |said: &Said<String>| {
        let text = said.value.trim().strip_prefix("keep");
        text.is_some_and(|rest| rest.trim() == name)
    };
    let lines = &maker.album.prefer;
    lines.iter().position(names).unwrap_or(lines.len())
}

fn push(maker: &mut Maker<'_>, title: String, stage: Stage) {
    maker.out.stage_titles.push(title);
    maker.out.program.stages.push(stage);
}

fn keep(maker: &mut Maker<'_>, kept: &mut BTreeSet<InstanceId>, wish: InstanceId) {
    if kept.insert(wish) {
        let rule = maker.out.program.instances[wish.0 as usize].rule;
        let title = maker
            .style
            .rules
            .get(rule)
            .map_or(String::new(), |r| r.name.clone());
        push(maker, title, Stage::Keep(wish));
    }
}

/// Unknowns and choices that tie the leaves together.
fn first_unknowns(maker: &Maker<'_>) -> BTreeSet<UnknownId> {
    let first = |declared: usize| maker.style.unknowns.get(declared).is_some_and(|u| u.first);
    let sizes = maker.out.sizes.iter().filter(|s| first(s.declared));
    sizes.map(|s| s.unknown).collect()
}

fn first_groups(maker: &Maker<'_>) -> BTreeSet<GroupId> {
    (maker.style.choices.iter())
        .filter(|c| c.first)
        .flat_map(|c| {
            maker
                .out
                .model
                .choices
                .iter()
                .filter(|((_, name), _)| name == c.name.last())
        })
        .filter_map(|(_, choice)| choice.group)
        .collect()
}

/// A wish of the template or the ring: it names unknowns or choices, and only those that come first.
fn speaks_only_of(
    program: &Program,
    wish: InstanceId,
    unknowns: &BTreeSet<UnknownId>,
    groups: &BTreeSet<GroupId>,
) -> bool {
    let instance = &program.instances[wish.0 as usize];
    let rows = &program.rows[instance.rows.clone()];
    let mut terms = rows.iter().flat_map(|r| &r.terms);
    let mut guards = rows.iter().flat_map(|r| &r.guards);
    rows.iter()
        .any(|r| !r.terms.is_empty() || !r.guards.is_empty())
        && terms.all(|(id, _)| unknowns.contains(id))
        && guards.all(|g| groups.contains(&g.group) || instance.group == Some(g.group))
}

/// Each unknown's and each choice's own preference, in the order of the style's file.
fn own_preferences(maker: &mut Maker<'_>, first: bool) {
    enum Own<'a> {
        Unknown(usize, &'a crate::style::UnknownRule),
        Choice(&'a crate::style::ChoiceRule),
    }
    let style = maker.style;
    let mut all: Vec<(Place, Own<'_>)> = Vec::new();
    let unknowns = style
        .unknowns
        .iter()
        .enumerate()
        .filter(|(_, u)| u.first == first);
    all.extend(unknowns.map(|(n, u)| (u.place, Own::Unknown(n, u))));
    all.extend(
        style
            .choices
            .iter()
            .filter(|c| c.first == first)
            .map(|c| (c.place, Own::Choice(c))),
    );
    all.sort_by_key(|(place, _)| *place);
    for (_, own) in all {
        match own {
            Own::Unknown(declared, rule) => {
                let of_rule = maker.out.sizes.iter().filter(|s| s.declared == declared);
                let here: Vec<(ThingId, UnknownId)> =
                    of_rule.map(|s| (s.thing, s.unknown)).collect();
                for (thing, id) in here {
                    if let Prefer::LargestWith(other, _) = &rule.prefer {
                        let fields = [rule.name.last().to_owned(), other.last().to_owned()];
                        let title = maker.out.model.scene.thing(thing).label.clone();
                        largest(maker, &[thing], &fields, &format!("largest {title}"));
                    }
                    let sign = direction(&rule.prefer);
                    let word = if sign > 0 { "large" } else { "small" };
                    let name = maker.out.program.unknowns[id.0 as usize].name.clone();
                    let title = format!("{word} {name}");
                    let objective = vec![(id, sign)];
                    push(
                        maker,
                        title.clone(),
                        Stage::Best {
                            name: title,
                            objective,
                        },
                    );
                }
            }
            Own::Choice(rule) => {
                let groups: Vec<GroupId> = (maker.out.model.choices.iter())
                    .filter(|((_, name), _)| name == rule.name.last())
                    .filter_map(|(_, choice)| choice.group)
                    .collect();
                for group in groups {
                    let name = maker.out.program.groups[group.0 as usize].name.clone();
                    push(maker, format!("first {name}"), Stage::Choose(group));
                }
            }
        }
    }
}

/// The shorter side of each of these things as large as can be, then the sum of both sides.
fn largest(maker: &mut Maker<'_>, things: &[ThingId], fields: &[String; 2], title: &str) {
    let unknown = |maker: &Maker<'_>, thing: ThingId, field: &String| {
        maker
            .out
            .model
            .unknowns
            .get(&(thing, field.clone()))
            .copied()
    };
    let mut shorter = Vec::new();
    let mut sum = Vec::new();
    for &thing in things {
        let sides = [0, 1].map(|n| unknown(maker, thing, &fields[n]));
        let free: Vec<UnknownId> = sides.iter().flatten().copied().collect();
        sum.extend(free.iter().map(|id| (*id, 1)));
        // With one side given, the other is simply large.
        if let [a, b] = free[..] {
            let key = (thing, shorter_of(fields));
            let t = match maker.out.model.unknowns.get(&key) {
                Some(t) => *t,
                None => define_shorter(maker, thing, key.1, [a, b]),
            };
            shorter.push((t, 1));
        }
    }
    if !shorter.is_empty() {
        let name = format!("{title}: its shorter side");
        push(
            maker,
            name.clone(),
            Stage::Best {
                name,
                objective: shorter,
            },
        );
    }
    if !sum.is_empty() {
        let name = format!("{title}: both sides together");
        push(
            maker,
            name.clone(),
            Stage::Best {
                name,
                objective: sum,
            },
        );
    }
}

/// The name of a helper; no style can say it, since it is no word.
fn shorter_of([a, b]: &[String; 2]) -> String {
    format!("the shorter of {a} and {b}")
}

fn define_shorter(
    maker: &mut Maker<'_>,
    thing: ThingId,
    name_of_shorter: String,
    [a, b]: [UnknownId; 2],
) -> UnknownId {
    let program = &mut maker.out.program;
    let t = UnknownId(program.unknowns.len() as u32);
    let [first, second] = [a, b].map(|id| &program.unknowns[id.0 as usize]);
    let name = format!("{} and {}, the shorter", first.name, second.name);
    let most = first.most.min(second.most);
    program.unknowns.push(Unknown {
        name,
        least: 0,
        most,
        open: false,
    });
    let start = program.rows.len();
    for side in [a, b] {
        let mut terms = vec![(t, 1), (side, -1)];
        terms.sort_unstable();
        program.rows.push(Row {
            terms,
            most: 0,
            guards: Vec::new(),
        });
        maker
            .out
            .row_steps
            .push(num_rational::Ratio::from_integer(1));
        maker.out.row_sources.push(RowSource::Follows);
    }
    program.instances.push(Instance {
        rule: DEFINITION,
        force: Force::Must,
        rows: start..program.rows.len(),
        group: None,
    });
    maker.out.scopes.push(crate::scene::model::Scope::default());
    maker.out.model.unknowns.insert((thing, name_of_shorter), t);
    t
}

/// One line of the album's `prefer`.
fn named(maker: &mut Maker<'_>, kept: &mut BTreeSet<InstanceId>, said: &Said<String>) {
    let text = said.value.trim();
    let refuse = |wrong: String, help: String| ExpandError::Prefer {
        wrong,
        help,
        place: said.place,
    };
    let Some((word, rest)) = text.split_once(char::is_whitespace) else {
        let error = refuse(format!("`{text}` is not a preference"), HOW.into());
        return maker.errors.push(error);
    };
    let rest = rest.trim();
    match word {
        "keep" => {
            let wishes: Vec<InstanceId> = (0..maker.out.program.instances.len() as u32)
                .map(InstanceId)
                .filter(|i| {
                    let rule = maker.out.program.instances[i.0 as usize].rule;
                    maker
                        .style
                        .rules
                        .get(rule)
                        .is_some_and(|r| r.wish && r.name == rest)
                })
                .collect();
            if !maker.style.rules.iter().any(|r| r.wish && r.name == rest) {
                let wishes = maker
                    .style
                    .rules
                    .iter()
                    .filter(|r| r.wish)
                    .map(|r| r.name.as_str());
                let error = refuse(
                    format!("this style has no wish `{rest}`"),
                    meant(rest, wishes),
                );
                return maker.errors.push(error);
            }
            for wish in wishes {
                keep(maker, kept, wish);
            }
        }
        "large" | "small" | "largest" => {
            let (leaf, name) = match rest.split_once(':') {
                Some((leaf, name)) => (Some(leaf.trim()), name.trim()),
                None => (None, rest),
            };
            let sizes = sizes_called(maker, leaf, name, word == "largest");
            if sizes.is_empty() {
                let known = known_names(maker, word == "largest");
                let what = if word == "largest" { "thing" } else { "size" };
                let error = refuse(
                    format!("this album has no {what} `{rest}`"),
                    meant(rest, known.iter().map(String::as_str)),
                );
                return maker.errors.push(error);
            }
            if word == "largest" {
                let fields = ["width".to_owned(), "height".to_owned()];
                largest(maker, &sizes, &fields, text);
            } else {
                let sign = if word == "large" { 1 } else { -1 };
                let field = name.rsplit('.').next().unwrap_or(name).to_owned();
                let unknowns = &maker.out.model.unknowns;
                let objective: Vec<(UnknownId, i64)> = sizes
                    .iter()
                    .filter_map(|t| Some((*unknowns.get(&(*t, field.clone()))?, sign)))
                    .collect();
                // A size that is given is as it is.
                if !objective.is_empty() {
                    push(
                        maker,
                        text.to_owned(),
                        Stage::Best {
                            name: text.to_owned(),
                            objective,
                        },
                    );
                }
            }
        }
        _ => {
            let error = refuse(format!("`{word}` does not begin a preference"), HOW.into());
            maker.errors.push(error);
        }
    }
}

const HOW: &str = "type `largest photo_mat.photo`, `large photo_mat.width`, `small front_mat.height`, or `keep` and the name of a wish";

/// Things with that name; for `largest` the thing's own, else that of one of its sizes.
fn sizes_called(maker: &Maker<'_>, leaf: Option<&str>, name: &str, whole: bool) -> Vec<ThingId> {
    let scene = &maker.out.model.scene;
    let (label, field) = match (whole, name.rsplit_once('.')) {
        (true, _) => (name, None),
        (false, Some((label, field))) => (label, Some(field)),
        (false, None) => return Vec::new(),
    };
    (0..scene.things.len() as u32)
        .map(ThingId)
        .filter(|t| scene.thing(*t).label == label && has_sizes(maker, *t, field))
        .filter(|t| {
            leaf.is_none_or(|leaf| {
                scene
                    .leaf_of(*t)
                    .is_some_and(|l| scene.text(l, "name") == leaf)
            })
        })
        .collect()
}

/// Whether a thing has this size, or both of its sides, found or given.
fn has_sizes(maker: &Maker<'_>, thing: ThingId, field: Option<&str>) -> bool {
    let known = |field: &str| {
        let key = (thing, field.to_owned());
        maker.out.model.unknowns.get(&key).is_some()
            || (maker.out.model.scene.length(thing, field).is_some()
                && maker.style.unknowns.iter().any(|u| u.name.last() == field))
    };
    match field {
        Some(field) => known(field),
        None => known("width") && known("height"),
    }
}

fn known_names(maker: &Maker<'_>, whole: bool) -> Vec<String> {
    let scene = &maker.out.model.scene;
    let name = |size: &SizeOf| match whole {
        true => {
            let label = &scene.thing(size.thing).label;
            has_sizes(maker, size.thing, None).then(|| label.clone())
        }
        false => Some(scene.size_name(size.thing, &size.field)),
    };
    maker.out.sizes.iter().filter_map(name).unique().collect()
}

/// What an unknown should be, as the sign of its objective.
fn direction(prefer: &Prefer) -> i64 {
    match prefer {
        Prefer::Small => -1,
        Prefer::Large | Prefer::LargestWith(..) => 1,
    }
}
