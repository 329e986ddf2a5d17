//! What is refused in a style, and what is not.

use super::text::read;
use crate::text::{Files, Place};

/// Reads a style with one rule; the errors as text, each with the words that it marks.
fn errors(rule: &str) -> Vec<(String, String)> {
    errors_with(rule, "")
}

/// The same with more rows of names.
fn errors_with(rule: &str, names: &str) -> Vec<(String, String)> {
    let all = told(rule, names).into_iter();
    all.map(|(said, marked, _)| (said, marked)).collect()
}

/// And what there is to type instead.
fn told(rule: &str, names: &str) -> Vec<(String, String, String)> {
    let text = format!(
        r#"style = "test"
[quantity]
gap = {{ value = "1/8 in", why = "test" }}
share = {{ value = "1/3", why = "test" }}
[[unknown]]
name = "insert.width"
for = ["leaf in leaves", "insert in leaf.inserts"]
prefer = "large"
why = "test"
[[unknown]]
name = "panel.width"
for = ["leaf in leaves"]
prefer = "large"
why = "test"
[[choice]]
name = "photo.print"
for = ["leaf in leaves", "insert in leaf.inserts", "photo in insert.photos"]
from = "prints"
why = "test"
[[rule]]
name = "the rule"
because = "test"
source = "test"
{rule}
[[part]]
name = "leaf"
from = "bags"
on = [{{ name = "sleeve", opens = "high", place = "sleeve", high = 'sleeve.edge' }}]
[name]
{names}"leaf.gusset" = 'bag.gusset'
"sleeve.edge" = 'leaf.height / 2'
[[rule]]
name = "reads the quantities"
for = ["leaf in leaves"]
when = 'given(leaf.gusset)'
require = ['share * gap <= gap', 'gap <= leaf.gusset']
because = "test"
source = "test"
"#
    );
    let mut files = Files::default();
    let file = files.add("style.toml", text.clone());
    let Err(faults) = read(&mut files, file) else {
        return Vec::new();
    };
    let marked = |place: Place| text[place.start as usize..place.end as usize].to_owned();
    faults
        .iter()
        .map(|f| {
            let help = f.help().unwrap_or_default();
            (f.to_string(), marked(f.place()), help)
        })
        .collect()
}

fn one(rule: &str, message: &str, mark: &str) {
    let errors = errors(rule);
    assert_eq!(errors, [(message.to_owned(), mark.to_owned())], "{rule}");
}

const INSERTS: &str = "for = [\"leaf in leaves\", \"insert in leaf.inserts\"]\n";

#[test]
fn sound_rules_pass() {
    for rule in [
        "require = 'insert.width + 2 * gap <= leaf.width'",
        "require = 'share * insert.width <= leaf.width / 2'",
        "either = ['insert.width <= gap', ['insert.width >= gap', 'leaf.width >= gap']]",
        "when = ['insert.place = \"sleeve\"', 'leaf.count > 1', 'not leaf.turned']\nrequire = 'insert.width <= leaf.width'",
        "require = 'sum(slot in leaf.slots: slot.bulk) <= leaf.width'",
        "when = 'given(leaf.gusset)'\nrequire = 'insert.width <= leaf.gusset'",
        "when = 'given(leaf.panel.sheet_width)'\nrequire = 'panel.width <= panel.sheet_width'",
        "when = 'given(panel.sheet_width)'\nrequire = 'leaf.panel.width <= leaf.panel.sheet_width'",
        "require = 'sum(other in leaves: other.panel.width) >= gap'",
        "require = 'insert.width <= gap'\ngive = 1\ngive_most = 'gap / 2'",
    ] {
        assert_eq!(errors(&format!("{INSERTS}{rule}")), [], "{rule}");
    }
}

#[test]
fn names_are_known() {
    let rule = format!("{INSERTS}require = 'insert.widht <= leaf.width'");
    one(&rule, "there is no `insert.widht` here", "insert.widht");
    one(
        "require = 'gip <= ruler.step'",
        "there is no `gip` here",
        "gip",
    );
    // A leaf's names need a leaf.
    one(
        "require = 'leaf.width >= gap'",
        "`leaf.width` belongs to a leaf, and this does not name one",
        "leaf.width",
    );
    one(
        "for = [\"leaf in leafs\"]\nrequire = 'gap >= gap'",
        "there is no list `leafs`",
        "leaf in leafs",
    );
}

#[test]
fn a_part_is_that_of_one_leaf() {
    let two = "for = [\"leaf in leaves\", \"other in leaves\"]\n";
    let which = "`panel.width` can be that of `leaf` or of `other`";
    one(
        &format!("{two}require = 'panel.width >= other.width'"),
        which,
        "panel.width",
    );
    one(
        "for = [\"leaf in leaves\"]\nrequire = 'sum(other in leaves: panel.width) >= gap'",
        which,
        "panel.width",
    );
    one(
        &format!("{two}when = 'given(sleeve.edge)'\nrequire = 'leaf.width >= other.width'"),
        "`sleeve.edge` can be that of `leaf` or of `other`",
        "given(sleeve.edge)",
    );
    let full = format!("{two}require = 'leaf.panel.width >= other.panel.width'");
    assert_eq!(errors(&full), []);
    // A part has no parts.
    one(
        "for = [\"leaf in leaves\"]\nrequire = 'leaf.panel.panel.width >= gap'",
        "there is no `leaf.panel.panel.width` here",
        "leaf.panel.panel.width",
    );
}

#[test]
fn lengths_and_numbers_are_not_compared() {
    one(
        "for = [\"leaf in leaves\"]\nrequire = 'leaf.width <= leaf.count'",
        "this is a number; a length is needed",
        "leaf.count",
    );
    one(
        "for = [\"leaf in leaves\"]\nrequire = 'leaf.width <= 4'",
        "this number has no unit, and is compared with a length",
        "4",
    );
    one(
        "for = [\"leaf in leaves\"]\nrequire = 'leaf.width * leaf.height >= gap'",
        "this is a length; a number is needed",
        "leaf.height",
    );
    one(
        "for = [\"leaf in leaves\"]\nrequire = 'leaf.name <= leaf.name'",
        "this is a text; a length is needed",
        "leaf.name",
    );
}

#[test]
fn rules_are_sums() {
    let rule = format!("{INSERTS}require = 'insert.width * insert.width <= leaf.width'");
    one(
        &rule,
        "a rule cannot multiply two sizes that tuckwright works out",
        "insert.width * insert.width",
    );
    let rule = format!("{INSERTS}require = 'gap / insert.width <= share'");
    one(
        &rule,
        "a rule cannot divide by a size that tuckwright works out",
        "insert.width",
    );
    one(
        "for = [\"leaf in leaves\"]\nrequire = 'sum(s in leaf.slots: sum(i in s.inserts: i.thickness)) <= gap'",
        "a sum cannot hold another sum",
        "sum(i in s.inserts: i.thickness)",
    );
}

#[test]
fn conditions_read_facts() {
    let rule = format!("{INSERTS}when = 'insert.width > gap'\nrequire = 'leaf.width >= gap'");
    one(
        &rule,
        "`insert.width` cannot be read here: tuckwright works it out later",
        "insert.width",
    );
    one(
        &format!(
            "{INSERTS}require = 'leaf.width >= gap'\ngive = 1\ngive_most = '2 * insert.width'"
        ),
        "`insert.width` cannot be read here: tuckwright works it out later",
        "insert.width",
    );
    one(
        &format!("{INSERTS}require = 'leaf.width >= gap'\ngive = 1\ngive_most = 'share'"),
        "this is a number; a length is needed",
        "share",
    );
    one(
        "require = 'punch.reach >= gap'",
        "`punch.reach` may be missing in an album",
        "punch.reach",
    );
}

#[test]
fn shapes_of_rules() {
    one("", "a rule needs either `require` or `either`", "[[rule]]");
    one(
        "require = \"gap \\u003c= gap\"",
        "the text of a rule has a `\\` in it",
        "\"gap \\u003c= gap\"",
    );
    one(
        "require = 'gap <= '",
        "this cannot be read from here on",
        "",
    );
    let both = errors("require = 'gap <= gap'\neither = ['gap <= gap']");
    assert_eq!(both.len(), 1);
    // Several slips are told at once.
    let many = errors("require = ['gip <= gap', 'gap <= gop', 'gap <= 3']");
    assert_eq!(many.len(), 3);
}

/// The faults of a style of a leaf and a tray, with these words in it.
fn of_album(words: &str) -> Vec<String> {
    let high = match words.contains("label.height") {
        true => "",
        false => "[[unknown]]\nname = \"label.height\"\nprefer = \"large\"\nwhy = \"test\"",
    };
    let text = format!(
        r#"style = "test"
[[unknown]]
name = "label.width"
prefer = "large"
why = "test"
{high}
[[rule]]
name = "reads it"
for = ["leaf in leaves"]
require = 'label.width <= leaf.width'
because = "test"
source = "test"
[[part]]
name = "leaf"
from = "bags"
on = [{{ name = "front", plies = '1' }}]
[[part]]
name = "tray"
on = [{{ name = "label" }}]
[name]
"tray.height" = 'label.width'
{words}
"#
    );
    let mut files = Files::default();
    let file = files.add("style.toml", text);
    match read(&mut files, file) {
        Ok(_) => Vec::new(),
        Err(faults) => faults.iter().map(ToString::to_string).collect(),
    }
}

#[test]
fn parts_of_the_album_itself_read_no_leaf() {
    assert_eq!(of_album(r#""tray.width" = '2 * label.width'"#), [""; 0]);
    assert_eq!(
        of_album(r#""tray.width" = 'leaf.width'"#),
        ["`leaf.width` belongs to a leaf, and this does not name one"]
    );
}

#[test]
fn a_size_of_the_album_itself_is_there_once() {
    let more = r#""tray.width" = 'label.width'
[[unknown]]
name = "label.height"
for = ["leaf in leaves"]
prefer = "large"
why = "test""#;
    let errors = of_album(more);
    assert_eq!(errors.len(), 1, "{errors:?}");
    assert!(errors[0].contains("`label.height`"), "{errors:?}");
}

#[test]
fn a_name_is_a_part_of_a_leaf_or_of_the_album() {
    let more = r#""tray.width" = 'label.width'
[[part]]
name = "lid"
on = [{ name = "front" }]"#;
    assert_eq!(
        of_album(more),
        ["`front` is a part of a leaf and of the album"]
    );
}

/// Names that lean on one another, each on both of the step before: as many steps as this.
fn ladder(steps: usize) -> Vec<(String, String)> {
    let rung = |n: usize| {
        let (from, on) = (n - 1, format!("rung{n}"));
        format!(
            "\"{on}.left\" = 'rung{from}.left + rung{from}.right'\n\"{on}.right\" = 'rung{from}.left'\n"
        )
    };
    let rungs: String = (1..=steps).map(rung).collect();
    let rule = format!("require = 'rung{steps}.left + rung{steps}.right <= gap'");
    errors_with(
        &rule,
        &format!("\"rung0.left\" = 'gap'\n\"rung0.right\" = 'gap'\n{rungs}"),
    )
}

#[test]
fn names_lean_on_names_as_deep_as_is_allowed_and_no_deeper() {
    assert_eq!(ladder(16), []);
    for (steps, said) in [(40, "comes from more than"), (80, "follows from more than")] {
        let errors = ladder(steps);
        assert_eq!(errors.len(), 1, "{errors:?}");
        assert!(errors[0].0.contains(said), "{errors:?}");
    }
}

#[test]
fn names_that_are_offered_can_be_typed() {
    for written in [
        "ring.width",
        "sleeve.height",
        "print.width",
        "panel.depth",
        "insert.widht",
        "tallest.width",
        "gip",
    ] {
        let rule = |name: &str| {
            let photo = "\"photo in insert.photos\"";
            let bound = INSERTS.replace("]\n", &format!(", {photo}]\n"));
            format!("{bound}when = 'given(leaf.gusset)'\nrequire = '{name} <= {name}'")
        };
        let all = told(&rule(written), "");
        let (said, _, help) = &all[0];
        assert_eq!(*said, format!("there is no `{written}` here"));
        let offered: Vec<&str> = help.split('`').skip(1).step_by(2).collect();
        assert!(!offered.is_empty(), "{written}: {help}");
        for name in offered {
            let lost = errors(&rule(name)).into_iter().find(|(said, _)| {
                said.contains("there is no") || said.contains("does not name one")
            });
            assert_eq!(lost, None, "{written}: {help}");
        }
    }
}

/// What is added up over all leaves is the album's, and needs no leaf.
#[test]
fn a_sum_over_all_leaves_is_of_the_album() {
    let sum = "\"spine.full\" = 'sum(leaf in leaves: leaf.width + sleeve.edge)'\n";
    assert_eq!(errors_with("require = 'gap <= spine.full'", sum), []);
    // One of a leaf's inserts is not.
    let sum = "\"spine.full\" = 'sum(insert in leaf.inserts: insert.thickness)'\n";
    let said = "`spine.full` belongs to a leaf, and this does not name one".to_owned();
    let marked = "spine.full".to_owned();
    assert_eq!(
        errors_with("require = 'gap <= spine.full'", sum),
        [(said, marked)]
    );
}
