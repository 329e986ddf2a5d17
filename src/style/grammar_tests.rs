//! What is read as a rule, and where what is none is refused.

use super::expr::*;
use super::grammar::*;
use crate::text::Place;

fn at(text: &str) -> Place {
    Place {
        file: 3,
        start: 100,
        end: 100 + text.len() as u32,
    }
}

fn shown(e: &Expr) -> String {
    match &e.node {
        Node::Number(n) => n.to_string(),
        Node::Name(p) => p.to_string(),
        Node::Negative(a) => format!("(-{})", shown(a)),
        Node::Add(a, b) => format!("({} + {})", shown(a), shown(b)),
        Node::Subtract(a, b) => format!("({} - {})", shown(a), shown(b)),
        Node::Multiply(a, b) => format!("({} * {})", shown(a), shown(b)),
        Node::Divide(a, b) => format!("({} / {})", shown(a), shown(b)),
        Node::Sum(b, a) => format!("sum({} in {}: {})", b.variable, b.list, shown(a)),
    }
}

#[test]
fn precedence_and_brackets() {
    for (text, tree) in [
        ("a + 2 * b.c", "(a + (2 * b.c))"),
        ("a - b - c", "((a - b) - c)"),
        ("(a + b) / 2", "((a + b) / 2)"),
        ("-a + 0.5 * b", "((-a) + (1/2 * b))"),
        (
            "sum(leaf in leaves: leaf.count * leaf.thickness) + x",
            "(sum(leaf in leaves: (leaf.count * leaf.thickness)) + x)",
        ),
        ("  summary + sum ", "(summary + sum)"),
    ] {
        assert_eq!(read_expr(text, at(text)).map(|e| shown(&e)).unwrap(), tree);
    }
}

#[test]
fn places_point_into_the_file() {
    let text = "front_mat.width + 2 * reveal <= leaf.width";
    let c = read_comparison(text, at(text)).unwrap();
    assert_eq!(c.relation, Relation::AtMost);
    let names = c.right.names();
    let place = names[0].1;
    assert_eq!(
        &text[place.start as usize - 100..place.end as usize - 100],
        "leaf.width"
    );
}

#[test]
fn conditions() {
    let read = |t: &str| read_condition(t, at(t)).unwrap().node;
    assert!(matches!(
        read("given(punch.reach)"),
        ConditionNode::Given(_)
    ));
    assert!(matches!(read("not leaf.turned"), ConditionNode::Not(_)));
    assert!(matches!(read("leaf.turned"), ConditionNode::Flag(_)));
    assert!(matches!(
        read("insert.place = \"mouth\""),
        ConditionNode::Text(_, Test::Equal, _)
    ));
    assert!(matches!(
        read("template.count > 1"),
        ConditionNode::Compare(_, Test::More, _)
    ));
}

#[test]
fn what_is_no_rule_is_refused_where_it_stops() {
    for (text, offset) in [
        ("a <= ", 5),
        ("a + b", 5),
        ("a <= b <= c", 7),
        ("a ** b <= c", 3),
        ("(a <= b", 3),
        ("", 0),
        ("a <= \u{e9}", 5),
        ("1.5.2 <= a", 3),
    ] {
        let e = read_comparison(text, at(text)).unwrap_err();
        assert_eq!(e.place.start - 100, offset, "{text}: {e:?}");
        assert!(!e.expected.is_empty(), "{text}");
        // The mark takes whole letters.
        let marked = e.place.start as usize - 100..e.place.end as usize - 100;
        assert!(text.get(marked).is_some(), "{text}: {e:?}");
    }
    let deep = "(".repeat(30) + "a" + &")".repeat(30) + " <= b";
    assert!(read_comparison(&deep, at(&deep)).is_err());
    let minus = "-".repeat(1000) + "a <= b";
    assert!(read_comparison(&minus, at(&minus)).is_err());
    let long = "a + ".repeat(1000) + "a <= b";
    assert!(read_comparison(&long, at(&long)).is_err());
}

#[test]
fn sentences() {
    let text = "needs {left}; {leaf.name} has {a - b}";
    let words = read_words(text, at(text)).unwrap();
    assert_eq!(words.len(), 6);
    assert!(read_words("a {b", at("a {b")).is_err());
}
