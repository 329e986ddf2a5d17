//! The question in whole numbers: photos, places, what each photo costs in each place.

use num_traits::Zero;
use std::ops::Sub;

/// Exact whole numbers.
pub trait Number: Clone + Ord + Zero + Sub<Output = Self> {}
impl<T: Clone + Ord + Zero + Sub<Output = T>> Number for T {}

/// Where a place is: its opening, and whether on the right page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Page {
    pub opening: i64,
    pub right: bool,
}

/// Photos and places, both in their order.
#[derive(Clone, Debug)]
pub struct Problem<T> {
    /// By photo and place; `None` if the photo may not stand there. Nothing is below zero.
    pub costs: Vec<Vec<Option<T>>>,
    /// What it costs to leave a photo out; `None` if it must have a place.
    pub out: Vec<Option<T>>,
    /// More than any plan costs that gives a place to each photo that must have one.
    pub dear: T,
    /// Photos that stand on two pages facing each other. Both must have a place.
    pub pairs: Vec<(usize, usize)>,
    /// Of each place; places come in the order of their pages.
    pub pages: Vec<Page>,
    /// The same in short numbers, each rounded down a little: a plan is found much faster in them, and
    /// then proved in the exact ones.
    pub rough: Option<Box<Problem<i128>>>,
}

/// The place of each photo; `None` if it is left out.
pub type Places = Vec<Option<usize>>;

impl<T> Problem<T> {
    /// A photo may not stand in a place.
    pub fn forbid(&mut self, photo: usize, place: usize) {
        self.costs[photo][place] = None;
        if let Some(rough) = &mut self.rough {
            rough.forbid(photo, place);
        }
    }
}

impl<T: Number> Problem<T> {
    /// What it costs to leave a photo out, dear where it must not be.
    pub fn left_out(&self, photo: usize) -> T {
        match self.out.get(photo) {
            Some(Some(cost)) => cost.clone(),
            _ => self.dear.clone(),
        }
    }
}

/// What shows that no plan is cheaper.
#[derive(Clone, Debug)]
pub enum Proof<T> {
    /// A price for each photo and, nothing or less, for each place: together no more than any plan.
    Prices { photos: Vec<T>, places: Vec<T> },
    /// A pair stands at one of these openings, its first photo on the left page or on the right.
    Pair {
        pair: usize,
        ways: Vec<(Way, Proof<T>)>,
    },
    /// A limit was met.
    Open,
}

/// Where a pair stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way {
    pub opening: i64,
    pub first_right: bool,
}

impl<T> Proof<T> {
    /// No branch was left open.
    pub fn is_whole(&self) -> bool {
        match self {
            Proof::Prices { .. } => true,
            Proof::Pair { ways, .. } => ways.iter().all(|(_, proof)| proof.is_whole()),
            Proof::Open => false,
        }
    }
}
