//! Boxes, selects, ticks and buttons, all of one kind: a box names the field that it stands for, a button
//! what it asks for and what it sends.

use crate::length::{Interval, Ruler};
use crate::open::sight::field;
use crate::report;
use crate::report::handout::said;
use maud::{Markup, html};
use num_rational::Ratio;
use serde_json::Value;

/// An identifier of an element, from words of any letters.
pub fn id(words: &[&str]) -> String {
    let mut id = String::from("f");
    for letter in words
        .iter()
        .flat_map(|word| format!("-{word}").into_bytes())
    {
        match letter {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' => id.push(char::from(letter)),
            other => id.push_str(&format!("_{other:02x}")),
        }
    }
    id
}

/// A button that sends this to that path.
pub fn button(label: &str, path: &str, body: &Value) -> Markup {
    html! { button type="button" data-post=(path) data-body=(body) { (label) } }
}

/// The same in the colour of what is to be done first.
pub fn first_button(label: &str, path: &str, body: &Value) -> Markup {
    html! { button type="button" class="first" data-post=(path) data-body=(body) { (label) } }
}

/// What a box holds.
pub enum Holds {
    /// A length: the arrow keys change it by a step, and its fractions are read while they are typed.
    Length,
    /// A whole number.
    Count,
    /// A name: it is changed when the box is left.
    Name,
    Words,
}

/// Where a box is on the page, and the field of the album's text that it stands for.
pub struct At {
    id: String,
    field: String,
}

impl At {
    /// A box that is called after its field.
    pub fn of(path: &[&str]) -> At {
        At::called(&id(path), path)
    }

    /// One that is called otherwise: what it stands for may get another name while the caret is in it.
    pub fn called(id: &str, path: &[&str]) -> At {
        At {
            id: id.to_owned(),
            field: field::join(path),
        }
    }
}

/// A labelled box. `said` is what the maker says there; empty: it is worked out, and `else_` shows what
/// to.
pub fn entry(label: &str, at: At, holds: Holds, said: &str, else_: &str) -> Markup {
    let kind = match holds {
        Holds::Length => "length",
        Holds::Count => "count",
        Holds::Name => "name",
        Holds::Words => "words",
    };
    let note = format!("{}-note", at.id);
    html! {
        div class=(format!("entry {kind}")) data-key=(format!("{}-entry", at.id)) {
            label for=(at.id) { (label) }
            input id=(at.id) type="text" data-field=(at.field) data-holds=(kind) value=(said)
                placeholder=(else_) autocomplete="off" spellcheck="false"
                inputmode=[matches!(holds, Holds::Count).then_some("numeric")]
                aria-describedby=(note) class=[said.is_empty().then_some("open")];
            span id=(note) class="note" {}
        }
    }
}

/// A labelled choice of one of several: each with its value and its words.
pub fn select(label: &str, at: At, all: &[(String, String)], chosen: &str) -> Markup {
    html! {
        div class="entry" data-key=(format!("{}-entry", at.id)) {
            label for=(at.id) { (label) }
            select id=(at.id) data-field=(at.field) {
                @for (value, words) in all {
                    option value=(value) selected[value == chosen] { (words) }
                }
            }
        }
    }
}

/// A tick that sets a field to `yes` or `no`.
pub fn tick(label: &str, at: At, ticked: bool) -> Markup {
    html! {
        label class="tick" data-key=(format!("{}-tick", at.id)) {
            input id=(at.id) type="checkbox" data-field=(at.field) checked[ticked];
            span { (label) }
        }
    }
}

/// A length as it is read and typed: `4 3/8 in`.
pub fn shown(ruler: Ruler, value: Interval) -> String {
    ruler.show_interval(value)
}

/// A length that may not be said.
pub fn shown_if(ruler: Ruler, value: Option<Interval>) -> String {
    value.map_or(String::new(), |value| shown(ruler, value))
}

/// A share as it is typed: `6.5 %`, or `1/3` if no decimals are exact.
pub fn shared(above: i64, below: i64) -> String {
    let hundreds = Ratio::new(i128::from(above) * 100, i128::from(below));
    let digits = (0..=18).find(|n| (hundreds * 10_i128.pow(*n)).is_integer());
    match digits {
        Some(0) => format!("{hundreds} %"),
        Some(n) => {
            let all = (hundreds * 10_i128.pow(n)).to_integer();
            let (whole, rest) = (all / 10_i128.pow(n), all % 10_i128.pow(n));
            format!("{whole}.{rest:0width$} %", width = n as usize)
        }
        None => format!("{above}/{below}"),
    }
}

/// A number that may not be said.
pub fn number(said: Option<i64>) -> String {
    said.map_or(String::new(), |n| n.to_string())
}

/// `4 1/4 x 5 1/2 in`, the cross as it is printed.
pub fn sized(ruler: Ruler, width: Interval, height: Interval) -> String {
    report::compare::size(ruler, width, height).replace(" x ", " × ")
}

/// A name of the maker's as it is read.
pub fn plain(name: &str) -> String {
    said::plain(name)
}

/// With a capital at its head.
pub fn capital(text: &str) -> String {
    said::capital(text)
}

/// The square tab with the letter of a piece.
pub fn tab(letter: &str) -> Markup {
    html! { span class="tab" { (letter) } }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_any_letters_make_an_identifier() {
        assert_eq!(id(&["leaf", "shore", "count"]), "f-leaf-shore-count");
        assert_eq!(id(&["bag", "No. 5"]), "f-bag-No_2e_205");
        // Two names never make the same one.
        assert_ne!(id(&["a_b"]), id(&["a b"]));
    }

    #[test]
    fn what_a_maker_names_stays_text() {
        let html = entry(
            "\"<b>",
            At::of(&["leaf", "<script>"]),
            Holds::Words,
            "\"><b>",
            "",
        )
        .into_string();
        assert!(
            !html.contains("<b>") && !html.contains("<script>"),
            "{html}"
        );
    }
}
