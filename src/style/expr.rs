//! What a rule says, as a tree. No names are looked up here. May import `text`.

use crate::text::Place;
use num_integer::Integer;
use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedMul, CheckedSub};

/// An exact number. Rule texts are short, so `i128` never comes near its end; sums are checked
/// where they are made.
pub type Number = Ratio<i128>;

/// `a + b`; `None` beyond what can be held. Most numbers are whole, and a sum of these has no fraction
/// to be reduced.
pub fn plus(a: &Number, b: &Number) -> Option<Number> {
    match (a.denom(), b.denom()) {
        (1, 1) => a.numer().checked_add(b.numer()).map(Number::from_integer),
        _ => a.checked_add(b),
    }
}

/// `a - b`, in the same way.
pub fn minus(a: &Number, b: &Number) -> Option<Number> {
    match (a.denom(), b.denom()) {
        (1, 1) => a.numer().checked_sub(b.numer()).map(Number::from_integer),
        _ => a.checked_sub(b),
    }
}

/// `a * b`, in the same way.
pub fn times(a: &Number, b: &Number) -> Option<Number> {
    match (a.denom(), b.denom()) {
        (1, 1) => a.numer().checked_mul(b.numer()).map(Number::from_integer),
        // Numbers of a rule are short, and short ones have their common divisors found far sooner.
        _ => times_short(a, b).or_else(|| a.checked_mul(b)),
    }
}

/// A product of numbers whose parts fit into 64 bits.
fn times_short(a: &Number, b: &Number) -> Option<Number> {
    let short = |n: &i128| i64::try_from(*n).ok();
    let (mut over_a, mut under_a) = (short(a.numer())?, short(a.denom())?);
    let (mut over_b, mut under_b) = (short(b.numer())?, short(b.denom())?);
    for (over, under) in [(&mut over_a, &mut under_b), (&mut over_b, &mut under_a)] {
        if *under != 1 {
            let common = over.checked_abs()?.gcd(under);
            (*over, *under) = (*over / common, *under / common);
        }
    }
    let product = |x: i64, y: i64| i128::from(x) * i128::from(y);
    Some(Number::new_raw(
        product(over_a, over_b),
        product(under_a, under_b),
    ))
}

/// A dotted name such as `leaf.width` or `photo.print.width`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Path(pub Vec<String>);

impl Path {
    /// The path of a dotted text.
    pub fn of(text: &str) -> Path {
        Path(text.split('.').map(str::to_owned).collect())
    }

    /// The first word.
    pub fn head(&self) -> &str {
        self.0.first().map_or("", String::as_str)
    }

    /// The last word.
    pub fn last(&self) -> &str {
        self.0.last().map_or("", String::as_str)
    }
}

impl std::fmt::Display for Path {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0.join("."))
    }
}

/// `leaf in leaves`: one instance for each thing of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Binding {
    pub variable: String,
    pub list: Path,
    pub place: Place,
}

/// An expression and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Expr {
    pub node: Node,
    pub place: Place,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Node {
    Number(Number),
    Name(Path),
    Negative(Box<Expr>),
    Add(Box<Expr>, Box<Expr>),
    Subtract(Box<Expr>, Box<Expr>),
    Multiply(Box<Expr>, Box<Expr>),
    Divide(Box<Expr>, Box<Expr>),
    /// `sum(insert in leaf.inserts: insert.thickness)`
    Sum(Binding, Box<Expr>),
}

impl Expr {
    /// One that stands in no file.
    pub fn unsaid(node: Node) -> Expr {
        Expr {
            node,
            place: Place::default(),
        }
    }

    /// `head.field`, where no file says it.
    pub fn name(head: &str, field: &str) -> Expr {
        let path = vec![head.to_owned(), field.to_owned()];
        Expr::unsaid(Node::Name(Path(path)))
    }

    /// Whether it says the same, wherever it stands.
    pub fn reads_as(&self, other: &Expr) -> bool {
        match (&self.node, &other.node) {
            (Node::Negative(a), Node::Negative(b)) => a.reads_as(b),
            (Node::Add(a, b), Node::Add(c, d))
            | (Node::Subtract(a, b), Node::Subtract(c, d))
            | (Node::Multiply(a, b), Node::Multiply(c, d))
            | (Node::Divide(a, b), Node::Divide(c, d)) => a.reads_as(c) && b.reads_as(d),
            (Node::Sum(_, a), Node::Sum(_, b)) => a.reads_as(b),
            (a, b) => a == b,
        }
    }

    /// Names that do not speak of a leaf that a sum in it runs over, among them the list of a sum.
    pub fn free(&self) -> Vec<&Path> {
        match &self.node {
            Node::Number(_) => Vec::new(),
            Node::Name(path) => vec![path],
            Node::Negative(a) => a.free(),
            Node::Add(a, b) | Node::Subtract(a, b) | Node::Multiply(a, b) | Node::Divide(a, b) => {
                [a.free(), b.free()].concat()
            }
            Node::Sum(over, _) if over.list.0.len() == 1 => Vec::new(),
            Node::Sum(over, a) => [vec![&over.list], a.free()].concat(),
        }
    }

    /// A bare 0, which is a length as well as a number.
    pub fn is_zero(&self) -> bool {
        matches!(&self.node, Node::Number(n) if *n.numer() == 0)
    }

    /// Every name in it, outermost first, with its place.
    pub fn names(&self) -> Vec<(&Path, Place)> {
        let mut names = Vec::new();
        self.visit(&mut |e| {
            if let Node::Name(path) = &e.node {
                names.push((path, e.place));
            }
        });
        names
    }

    /// The same, without the places.
    pub fn paths(&self) -> Vec<&Path> {
        self.names().into_iter().map(|(path, _)| path).collect()
    }

    /// The variables of its sums.
    pub fn bindings(&self) -> Vec<&Binding> {
        let mut all = Vec::new();
        self.visit(&mut |e| {
            if let Node::Sum(binding, _) = &e.node {
                all.push(binding);
            }
        });
        all
    }

    fn visit<'a>(&'a self, see: &mut dyn FnMut(&'a Expr)) {
        see(self);
        match &self.node {
            Node::Number(_) | Node::Name(_) => {}
            Node::Negative(a) | Node::Sum(_, a) => a.visit(see),
            Node::Add(a, b) | Node::Subtract(a, b) | Node::Multiply(a, b) | Node::Divide(a, b) => {
                a.visit(see);
                b.visit(see);
            }
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relation {
    AtMost,
    AtLeast,
    Equal,
}

/// `left <= right`, `left >= right` or `left = right`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Comparison {
    pub left: Expr,
    pub relation: Relation,
    pub right: Expr,
    pub place: Place,
}

/// How two facts compare in a `when`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Test {
    Equal,
    NotEqual,
    Less,
    AtMost,
    More,
    AtLeast,
}

impl Test {
    /// What holds where this does not.
    pub fn contrary(self) -> Test {
        match self {
            Test::Equal => Test::NotEqual,
            Test::NotEqual => Test::Equal,
            Test::Less => Test::AtLeast,
            Test::AtLeast => Test::Less,
            Test::More => Test::AtMost,
            Test::AtMost => Test::More,
        }
    }
}

/// One line of a `when`: it reads facts, never unknowns.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Condition {
    pub node: ConditionNode,
    pub place: Place,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ConditionNode {
    /// `given(punch.reach)`: the album or its supplies say it.
    Given(Path),
    /// `free(template.pitch)`: it is still to be found.
    Free(Path),
    /// `leaf.has_band`
    Flag(Path),
    Not(Box<Condition>),
    /// `insert.place = "mouth"`
    Text(Path, Test, String),
    /// `template.count > 1`
    Compare(Expr, Test, Expr),
}

impl Condition {
    /// The two sides, if it compares.
    pub fn sides(&self) -> Vec<&Expr> {
        match &self.node {
            ConditionNode::Not(inner) => inner.sides(),
            ConditionNode::Compare(a, _, b) => vec![a, b],
            _ => Vec::new(),
        }
    }

    /// Every name that it reads.
    pub fn names(&self) -> Vec<&Path> {
        match &self.node {
            ConditionNode::Not(inner) => inner.names(),
            ConditionNode::Given(path)
            | ConditionNode::Free(path)
            | ConditionNode::Flag(path)
            | ConditionNode::Text(path, ..) => vec![path],
            ConditionNode::Compare(a, _, b) => [a.paths(), b.paths()].concat(),
        }
    }
}

/// A piece of a sentence: words, or a value to fill in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Words {
    Plain(String),
    /// `{left}` of the comparison.
    Left,
    /// `{right}` of the comparison.
    Right,
    /// `{off}`: by how much the comparison is broken; zero if it holds.
    Off,
    Value(Expr),
}

impl Words {
    /// The value to fill in.
    pub fn value(&self) -> Option<&Expr> {
        match self {
            Words::Value(expr) => Some(expr),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whole numbers go a shorter way, to the same end as fractions.
    #[test]
    fn whole_numbers_are_added_and_multiplied_as_fractions_are() {
        let large = [
            i128::MAX,
            i128::MIN + 1,
            i128::MAX / 2,
            1 << 62,
            0,
            1,
            -1,
            7,
        ];
        let mut all: Vec<Number> = large.map(Number::from_integer).to_vec();
        all.extend([(1, 2), (-1, 2), (7, 16), (i128::MAX, 2)].map(|(n, d)| Number::new(n, d)));
        for a in &all {
            for b in &all {
                assert_eq!(plus(a, b), a.checked_add(b), "{a} + {b}");
                assert_eq!(minus(a, b), a.checked_sub(b), "{a} - {b}");
                assert_eq!(times(a, b), a.checked_mul(b), "{a} * {b}");
            }
        }
    }
}
