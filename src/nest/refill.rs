//! Ruin and refill: takes pieces out of a few sheets and puts them back where they waste least,
//! over and over, with fewer sheets than the best plan; what finds no room waits.
//!
//! After Gardeyn and Wauters 2022, "A goal-driven ruin and recreate heuristic for the 2D
//! variable-sized bin packing problem with guillotine constraints", with late acceptance (Burke and
//! Bykov 2017); from memory. It proves nothing.

use super::answer::Stop;
use super::job::Stages;
use super::layout::Layout;
use super::limits::Meter;
use super::model::Model;
use super::rest::Rest;
use super::tray::{Lay, Slot, Tray};

/// The most pieces that are moved about one by one.
const MOST_PIECES: u64 = 1_500;
/// Places looked at in the time of one node.
const LOOKS_A_NODE: u64 = 50_000;
/// What else a round takes, as places looked at.
const LOOKS_A_ROUND: u64 = 2_000;
/// One piece in this many is cut with waste beside it on purpose, where not all waste can be cut off.
const WIDE: usize = 3;
/// So many rounds back lies the worth that a new state is compared with.
const LATE: usize = 400;

/// Numbers that are the same on every machine.
struct Dice(u64);

impl Dice {
    fn throw(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        ((self.0 >> 16) % below.max(1) as u64) as usize
    }
}

/// A board of a stock.
struct Sheet {
    width: u32,
    height: u32,
    cost: u64,
    count: u64,
    /// The ways of each kind that fit.
    ways: Vec<Vec<Lay>>,
}

pub(super) struct Refill {
    sheets: Vec<Sheet>,
    /// Splits above each other.
    most: u8,
    gap: u64,
    /// The narrowest waste that the trimmer cuts off, with one gap; 0 if any will do.
    held: u32,
    /// Areas are shifted right by so much before they are squared.
    shift: u32,
    /// Area of each kind (square ticks, gap included).
    areas: Vec<u64>,
    trays: Vec<Tray>,
    /// Kinds of the pieces that wait for room.
    waiting: Vec<u32>,
    dice: Dice,
    /// Worths of earlier states.
    late: Vec<u64>,
    round: usize,
    /// Trays as they were before this round, and which.
    saved: Vec<(usize, Tray)>,
    saves: usize,
    looks: u64,
}

impl Refill {
    /// `None` where pieces are too many to be moved one by one, or there are none.
    pub fn new(model: &Model, rest: &Rest) -> Option<Self> {
        let pieces: u64 = rest
            .wanted
            .iter()
            .try_fold(0u64, |s, &w| s.checked_add(w))?;
        let job = model.job;
        if pieces == 0 || pieces > MOST_PIECES || !rest.alike.is_empty() {
            return None;
        }
        let mut sheets = Vec::new();
        for (stock, own) in job.stocks.iter().zip(&rest.sheets) {
            let (width, height) = stock.trimmed()?;
            let grown = |side: u64| u32::try_from(side + job.gap).ok();
            let (width, height) = (grown(width)?, grown(height)?);
            let held = |over: u32| job.holds(u64::from(over));
            let ways = model.kinds.iter().enumerate().map(|(kind, k)| {
                let piece = &job.pieces[k.members[0]];
                let each = piece.ways(stock).filter_map(|(w, h, turned)| {
                    let (w, h) = (grown(w)?, grown(h)?);
                    let fits = w <= width && h <= height && held(width - w) && held(height - h);
                    fits.then_some(Lay {
                        kind: kind as u32,
                        turned,
                        width: w,
                        height: h,
                    })
                });
                each.collect()
            });
            sheets.push(Sheet {
                width,
                height,
                cost: own.cost,
                count: own.count.unwrap_or(u64::MAX),
                ways: ways.collect(),
            });
        }
        let area = |s: &Sheet| u64::from(s.width) * u64::from(s.height);
        let largest = sheets.iter().map(area).max()?;
        let kinds = 0..model.kinds.len();
        let areas = kinds.clone().map(|kind| {
            let (w, h) = model.size(kind, false);
            (w + job.gap) * (h + job.gap)
        });
        let wait = |kind: usize| std::iter::repeat_n(kind as u32, rest.wanted[kind] as usize);
        Some(Self {
            sheets,
            most: match job.stages {
                Stages::Two => 2,
                Stages::Three => 3,
                Stages::Free => u8::MAX - 4,
            },
            gap: job.gap,
            held: match job.narrowest {
                0 | 1 => 0,
                narrowest => u32::try_from(narrowest + job.gap).ok()?,
            },
            shift: (64 - largest.leading_zeros()).saturating_sub(20),
            areas: areas.collect(),
            trays: Vec::new(),
            waiting: kinds.flat_map(wait).collect(),
            dice: Dice(0x9e37_79b9_7f4a_7c15),
            late: Vec::new(),
            round: 0,
            saved: Vec::new(),
            saves: 0,
            looks: 0,
        })
    }

    /// Goes on for so many nodes, until everything has room in sheets that cost at most `budget`:
    /// the stock and the layout of each sheet then, else `None`.
    ///
    /// # Errors
    /// A limit was met.
    pub fn go_on(
        &mut self,
        budget: u64,
        nodes: u64,
        meter: &mut Meter,
    ) -> Result<Option<Vec<(usize, Layout)>>, Stop> {
        if !self.may_open(budget) {
            return Ok(None);
        }
        self.saves = 0;
        self.close(budget);
        if self.late.is_empty() {
            self.refill(budget, 0);
            self.late = vec![self.worth(); LATE];
        }
        self.saves = 0;
        let mut now = self.worth();
        let (mut spent, mut looked) = (0, self.looks);
        while !self.waiting.is_empty() {
            meter.look()?;
            if self.looks - looked >= LOOKS_A_NODE {
                let nodes_here = (self.looks - looked) / LOOKS_A_NODE;
                looked += nodes_here * LOOKS_A_NODE;
                meter.spend(nodes_here)?;
                spent += nodes_here;
                if spent >= nodes {
                    return Ok(None);
                }
            }
            self.saves = 0;
            let waited = self.waiting.clone();
            self.looks += LOOKS_A_ROUND;
            self.ruin();
            self.refill(budget, 20);
            let new = self.worth();
            let late = self.round % LATE;
            self.round += 1;
            if new <= now || new <= self.late[late] {
                now = new;
            } else {
                self.waiting = waited;
                for (at, tray) in &mut self.saved[..self.saves] {
                    std::mem::swap(&mut self.trays[*at], tray);
                }
            }
            if now < self.late[late] || new > self.late[late] {
                self.late[late] = now;
            }
        }
        let used = self.trays.iter().filter(|t| t.pieces > 0);
        Ok(Some(used.map(|t| (t.stock, t.layout(self.gap))).collect()))
    }

    /// Whether the budget allows a single sheet that anything lies on.
    fn may_open(&self, budget: u64) -> bool {
        let holds = |s: &Sheet| s.count > 0 && s.ways.iter().any(|ways| !ways.is_empty());
        let mut open = self.sheets.iter().filter(|s| holds(s));
        open.any(|sheet| sheet.cost <= budget)
    }

    fn cost(&self) -> u64 {
        let used = self.trays.iter().filter(|t| t.pieces > 0);
        used.map(|t| self.sheets[t.stock].cost).sum()
    }

    /// Clears the emptiest sheets until the others are within the budget.
    fn close(&mut self, budget: u64) {
        while self.cost() > budget {
            let used = self.trays.iter_mut().filter(|t| t.pieces > 0);
            let Some(tray) = used.min_by_key(|t| t.area) else {
                return;
            };
            while tray.pieces > 0 {
                tray.take(0, usize::MAX, &mut self.waiting);
            }
            self.late.clear();
        }
    }

    /// What is to become small: the area of what waits; then waste should be in few large parts.
    fn worth(&mut self) -> u64 {
        for (at, _) in &self.saved[..self.saves] {
            self.trays[*at].weigh(self.shift);
            self.looks += self.trays[*at].len() as u64;
        }
        let waiting = self.waiting.iter().map(|&kind| self.areas[kind as usize]);
        let waiting: u64 = waiting.sum::<u64>() >> self.shift;
        let used = self.trays.iter().filter(|t| t.pieces > 0);
        let waste: u64 = used.map(|t| t.left >> 20).sum();
        // Sheets that nothing lies on are one large part each.
        (waiting << 8) + (self.trays.len() as u64 * (1 << 28)).saturating_sub(waste << 6)
    }

    fn save(&mut self, at: usize) {
        if self.saved[..self.saves]
            .iter()
            .any(|(saved, _)| *saved == at)
        {
            return;
        }
        if self.saves == self.saved.len() {
            self.saved.push((0, Tray::default()));
        }
        let (saved, tray) = &mut self.saved[self.saves];
        *saved = at;
        tray.clone_from(&self.trays[at]);
        self.saves += 1;
    }

    fn ruin(&mut self) {
        let used: Vec<usize> = (0..self.trays.len())
            .filter(|&at| self.trays[at].pieces > 0)
            .collect();
        if used.is_empty() {
            return;
        }
        let sheets = 1 + self.dice.throw(3);
        let mut most = 2 + self.dice.throw(10);
        for _ in 0..sheets {
            let at = used[self.dice.throw(used.len())];
            self.save(at);
            let mut each = 1 + self.dice.throw(most.max(1));
            while each > 0 && self.trays[at].pieces > 0 {
                let number = self.dice.throw(self.trays[at].pieces);
                let up = match self.dice.throw(8) {
                    0..=4 => 0,
                    5 | 6 => 1,
                    _ => 2,
                };
                let before = self.waiting.len();
                self.looks += self.trays[at].len() as u64;
                self.trays[at].take(number, up, &mut self.waiting);
                let took = self.waiting.len() - before;
                each = each.saturating_sub(took);
                most = most.saturating_sub(took);
            }
            if most == 0 {
                break;
            }
        }
    }

    /// Puts what waits where it wastes least; a slot is overlooked `blinks` times in a thousand.
    fn refill(&mut self, budget: u64, blinks: usize) {
        let order = self.dice.throw(4);
        let mut waiting: Vec<(u64, u32)> = Vec::with_capacity(self.waiting.len());
        for kind in self.waiting.drain(..) {
            let way = self
                .sheets
                .iter()
                .find_map(|s| s.ways[kind as usize].first());
            let (w, h) = way.map_or((0, 0), |l| (u64::from(l.width), u64::from(l.height)));
            let size = match order {
                0 | 1 => w * h,
                2 => w.max(h) << 16,
                _ => (w + h) << 16,
            };
            let shade = if blinks > 0 { self.dice.throw(400) } else { 0 };
            waiting.push((size * (1_000 + shade as u64), kind));
        }
        waiting.sort_unstable_by(|a, b| b.cmp(a));
        let mut refused = None;
        for (_, kind) in waiting {
            if refused == Some(kind) || !self.place(kind, budget, blinks) {
                refused = Some(kind);
                self.waiting.push(kind);
            }
        }
    }

    fn place(&mut self, kind: u32, budget: u64, blinks: usize) -> bool {
        let mut best: Option<(u64, usize, Lay, Slot)> = None;
        let area = self.areas[kind as usize];
        let wide = self.held > 0 && self.dice.throw(WIDE) == 0;
        for (at, tray) in self.trays.iter().enumerate() {
            if tray.pieces == 0 {
                continue;
            }
            let sheet = &self.sheets[tray.stock];
            if u64::from(sheet.width) * u64::from(sheet.height) - tray.area < area {
                continue;
            }
            self.looks += tray.len() as u64;
            for lay in &sheet.ways[kind as usize] {
                tray.slots(lay, (self.most, wide), self.shift, |cost, slot| {
                    if best.as_ref().is_none_or(|b| cost < b.0)
                        && (blinks == 0 || self.dice.throw(1_000) >= blinks)
                    {
                        best = Some((cost, at, *lay, slot));
                    }
                });
            }
        }
        if let Some((_, at, lay, slot)) = best {
            self.save(at);
            self.trays[at].put(&lay, slot);
            return true;
        }
        self.open(kind, budget)
    }

    /// Opens a sheet for a piece, where the budget allows it.
    fn open(&mut self, kind: u32, budget: u64) -> bool {
        let left = budget - self.cost().min(budget);
        let mut used = vec![0u64; self.sheets.len()];
        for tray in self.trays.iter().filter(|t| t.pieces > 0) {
            used[tray.stock] += 1;
        }
        let fits: Vec<usize> = (0..self.sheets.len())
            .filter(|&stock| {
                let sheet = &self.sheets[stock];
                sheet.cost <= left
                    && !sheet.ways[kind as usize].is_empty()
                    && used[stock] < sheet.count
            })
            .collect();
        if fits.is_empty() {
            return false;
        }
        let stock = fits[self.dice.throw(fits.len())];
        let free = self.trays.iter().position(|t| t.pieces == 0);
        let at = free.unwrap_or_else(|| {
            self.trays.push(Tray::default());
            self.trays.len() - 1
        });
        self.save(at);
        let sheet = &self.sheets[stock];
        let ways = &sheet.ways[kind as usize];
        let lay = ways[self.dice.throw(ways.len())];
        self.trays[at].open(stock, sheet.width, sheet.height, self.held);
        let wide = self.held > 0 && self.dice.throw(WIDE) == 0;
        let mut slots = Vec::new();
        self.trays[at].slots(&lay, (self.most, wide), self.shift, |_, slot| {
            slots.push(slot)
        });
        let slot = slots[self.dice.throw(slots.len())];
        self.trays[at].put(&lay, slot);
        true
    }
}

#[cfg(test)]
#[path = "refill_tests.rs"]
mod tests;
