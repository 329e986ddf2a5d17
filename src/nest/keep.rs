//! A large offcut in one piece: among all plans from the same sheets, the one that leaves most.
//!
//! An offcut is asked for as if it were one piece more. What the sheets then give is a plan that
//! keeps it; what they do not give is ruled out, with everything that is larger, by a certificate
//! like any other. Only sizes matter that a sum of sides leaves of a sheet; `outside` says of each
//! how much room the values of the pieces leave for it at most.

use super::answer::{
    self, Certificate, Claim, Cutting, Extra, Kept, RuledOut, Stop, cost, largest_offcut,
};
use super::bound::{self, most_worth};
use super::columns::Pool;
use super::extra::{asked_for, can_be_counted, extended, same_sheets, without};
use super::first_fit::first_fit;
use super::job::{Job, Stages};
use super::limits::Meter;
use super::model::{Grid, Model};
use super::outside::Outside;
use super::rest::{Rest, worth};
use super::search::{self, Outcome};
use super::table;
use super::verify::verify_cuttings;

/// How hard sizes are tried, one time after the other; see [`search::within`].
const EFFORTS: [usize; 3] = [0, 2, 4];

/// `cuttings` give all pieces of the job.
pub(super) fn keep(job: &Job, cuttings: &[Cutting], least: u64, meter: &mut Meter) -> Kept {
    let least = least.max(job.narrowest).max(1);
    let same = same_sheets(job, cuttings);
    let mut relaxed = same.clone();
    relaxed.narrowest = 0;
    relaxed.pieces.iter_mut().for_each(|p| p.most_alike = None);
    let mut keeper = Keeper {
        strict: relaxed != same,
        budget: cost(job, cuttings),
        least,
        size: largest_offcut(cuttings, least),
        best: cuttings.to_vec(),
        job: same,
        relaxed,
        ruled_out: Vec::new(),
        effort: 0,
        meter,
    };
    let proved = keeper.run().unwrap_or(false);
    Kept {
        least,
        size: keeper.size,
        proved,
        ruled_out: keeper.ruled_out,
        cuttings: keeper.best,
        stopped: keeper.meter.met(),
    }
}

struct Keeper<'a, 'm> {
    job: Job,
    /// The job without what certificates do not know of.
    relaxed: Job,
    /// Whether these differ.
    strict: bool,
    budget: u64,
    best: Vec<Cutting>,
    /// Offcuts with a shorter side are not counted.
    least: u64,
    size: (u64, u64),
    ruled_out: Vec<RuledOut>,
    effort: usize,
    meter: &'a mut Meter<'m>,
}

/// A size of offcut that cannot be larger.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Size {
    width: u64,
    height: u64,
    /// Whether what lies on its sheet may be turned.
    turn: bool,
}

impl Size {
    fn area(&self) -> u64 {
        self.width * self.height
    }

    /// Whether it holds an offcut of this size.
    fn holds(&self, width: u64, height: u64) -> bool {
        let within = |w: u64, h: u64| w <= self.width && h <= self.height;
        within(width, height) || self.turn && within(height, width)
    }
}

/// What became of a question.
enum Asked {
    Found,
    Never,
    Open,
}

/// What the values of the pieces say of all sizes.
struct Values {
    /// One for each piece of the job.
    each: Vec<u64>,
    /// What each stock holds.
    best: Vec<u64>,
    /// More than this cannot be lost.
    slack: u64,
    /// For each stock that is used.
    outside: Vec<(bool, Outside)>,
}

impl Values {
    /// What is lost at least where an offcut of this size is kept; `None` if no sheet has room.
    fn loss(&self, width: u64, height: u64) -> Option<u64> {
        let mut least: Option<u64> = None;
        for (turn, outside) in &self.outside {
            let upright = outside.beside(width, height);
            let turned = turn.then(|| outside.beside(height, width)).flatten();
            if let Some(beside) = upright.max(turned) {
                let loss = outside.best.saturating_sub(beside);
                least = Some(least.map_or(loss, |least| least.min(loss)));
            }
        }
        least
    }

    fn rules_out(&self, width: u64, height: u64) -> bool {
        self.loss(width, height)
            .is_none_or(|loss| loss > self.slack)
    }
}

impl Keeper<'_, '_> {
    /// Whether all that is larger was ruled out.
    fn run(&mut self) -> Result<bool, Stop> {
        let Some(values) = self.values()? else {
            return Ok(false);
        };
        let mut sizes: Vec<Size> = Vec::new();
        let least = self.least;
        for (turn, outside) in &values.outside {
            let heights: Vec<u64> = outside.heights().collect();
            for width in outside.widths().filter(|&w| w >= least) {
                let high = heights.iter().filter(|&&h| h >= least);
                sizes.extend(high.map(|&height| Size {
                    width,
                    height,
                    turn: *turn,
                }));
            }
        }
        sizes.sort_by_key(|s| (s.area(), s.width));
        sizes.dedup();
        loop {
            let all = self.narrow_down(&values, &sizes)?;
            let before = self.area();
            let proved = all
                && values.outside.iter().all(|(_, o)| o.knows_all())
                && self.sizes_are_ruled_out(&values, &sizes)?
                && self.last_cuts_are_ruled_out(&values)?;
            // A last cut may have left more than before.
            if proved || self.area() == before {
                return Ok(proved);
            }
        }
    }

    /// As [`Self::narrow`], harder each time, until no size is given up; whether it came to that.
    fn narrow_down(&mut self, values: &Values, sizes: &[Size]) -> Result<bool, Stop> {
        for effort in EFFORTS {
            self.effort = effort;
            if self.narrow(values, sizes)? {
                return Ok(true);
            }
        }
        Ok(false)
    }

    fn area(&self) -> u64 {
        self.size.0 * self.size.1
    }

    /// Values from the linear program of all pieces.
    fn values(&mut self) -> Result<Option<Values>, Stop> {
        let Some(model) = Model::new(&self.relaxed, false, self.meter)? else {
            return Ok(None);
        };
        let rest = Rest::whole(&model);
        let relaxed =
            Pool::new(&model, self.meter).relax(&rest, &model.boards, u64::MAX, &[], u64::MAX)?;
        let demand = worth(&relaxed.values, &rest.wanted);
        let all = most_worth(&rest.sheets, &relaxed.best, self.budget);
        // There is a plan, so all sheets hold the demand.
        let Ok(slack) = u64::try_from(all.saturating_sub(demand)) else {
            return Ok(None);
        };
        let mut each = vec![0; self.job.pieces.len()];
        for (kind, value) in model.kinds.iter().zip(&relaxed.values) {
            for &member in &kind.members {
                each[member] = *value;
            }
        }
        let boards = model.boards_of(Grid::AllSums, self.meter)?;
        let mut outside = Vec::new();
        for (stock, board) in self.relaxed.stocks.iter().zip(&boards) {
            if stock.count == Some(0) {
                continue;
            }
            // A sheet that is used holds a piece.
            let (Some(board), Some(size)) = (board, stock.trimmed()) else {
                return Ok(None);
            };
            let own = Outside::new(board, size, &relaxed.values, self.meter)?;
            outside.push((stock.turn, own));
        }
        Ok(Some(Values {
            each,
            best: relaxed.best,
            slack,
            outside,
        }))
    }

    /// Asks for sizes, until none is left that is larger and not ruled out; whether none had to be
    /// given up.
    fn narrow(&mut self, values: &Values, sizes: &[Size]) -> Result<bool, Stop> {
        let mut open = self.left(values, sizes)?;
        let mut part = 2;
        while !open.is_empty() {
            let next = open[open.len() / part];
            match self.ask(Extra::offcut(next.width, next.height))? {
                Asked::Found => {
                    let area = self.area();
                    open.retain(|s| s.area() > area);
                    part = 2;
                }
                Asked::Never | Asked::Open => {
                    open.retain(|s| !s.holds(next.width, next.height));
                    part = (part * 2).min(1 << 20);
                }
            }
        }
        Ok(self.left(values, sizes)?.is_empty())
    }

    /// Sizes that are larger and not ruled out.
    fn left(&mut self, values: &Values, sizes: &[Size]) -> Result<Vec<Size>, Stop> {
        let mut left = Vec::new();
        for some in sizes.chunks(1_000) {
            self.meter.look()?;
            let is_left = |s: &&Size| {
                s.area() > self.area() && !values.rules_out(s.width, s.height) && self.is_open(s)
            };
            left.extend(some.iter().filter(is_left));
        }
        Ok(left)
    }

    /// Whether no certificate rules a size out.
    fn is_open(&self, size: &Size) -> bool {
        let mut extras = self.ruled_out.iter().map(|r| r.extra);
        !extras.any(|e| e.widens.is_none() && size.holds(e.width, e.height))
    }

    /// Whether every size that is larger is ruled out, by as few certificates as possible.
    fn sizes_are_ruled_out(&mut self, values: &Values, sizes: &[Size]) -> Result<bool, Stop> {
        for turn in [true, false] {
            let area = self.area();
            let larger = sizes.iter().filter(|s| s.turn == turn && s.area() > area);
            let mut open: Vec<Size> = larger.copied().filter(|s| self.is_open(s)).collect();
            // The narrowest first; of each width the lowest.
            open.sort_by_key(|s| (s.width, s.height));
            open.dedup_by_key(|s| s.width);
            let mut from = 0;
            while from < open.len() {
                self.meter.look()?;
                let within = |end: usize| {
                    let low = open[from..end].iter().map(|s| s.height).min();
                    (open[from].width, low.unwrap_or(0))
                };
                let all = |end: usize| {
                    let (width, height) = within(end);
                    values.rules_out(width, height)
                };
                let mut end = from + 1;
                while end < open.len() && all(end + 1) {
                    end += 1;
                }
                let (width, height) = within(end);
                if !self.rule_out_by_values(values, Extra::offcut(width, height))?
                    && !self.each_is_ruled_out(values, &open[from..end])?
                {
                    return Ok(false);
                }
                from = end;
            }
        }
        Ok(true)
    }

    fn each_is_ruled_out(&mut self, values: &Values, sizes: &[Size]) -> Result<bool, Stop> {
        for size in sizes {
            let (width, height) = (size.width, size.height);
            let extra = Extra::offcut(width, height);
            let done = !self.is_open(size)
                || self.rule_out_by_values(values, extra)?
                || matches!(self.ask(extra)?, Asked::Never);
            if !done {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Whether no last cut of all leaves more of a single piece's part.
    fn last_cuts_are_ruled_out(&mut self, values: &Values) -> Result<bool, Stop> {
        if self.job.stages == Stages::Free {
            return Ok(true);
        }
        for number in 0..self.job.pieces.len() {
            let piece = &self.job.pieces[number];
            let (width, height) = (piece.width, piece.height);
            let least = |side: u64| (self.area() / side + 1).max(self.least);
            let wider = (width + self.job.gap + least(height), height);
            let higher = (width, height + self.job.gap + least(width));
            for ((width, height), side) in [(wider, height), (higher, width)] {
                if side < self.least {
                    continue;
                }
                let extra = Extra {
                    width,
                    height,
                    widens: Some(number),
                };
                let widened = asked_for(&self.relaxed, extra);
                let fits = self.relaxed.stocks.iter().any(|stock| {
                    let (across, down) = stock.trimmed().unwrap_or((0, 0));
                    let mut ways = widened.ways(stock);
                    stock.count != Some(0) && ways.any(|(w, h, _)| w <= across && h <= down)
                });
                if fits
                    && !self.rule_out_by_values(values, extra)?
                    && !matches!(self.ask(extra)?, Asked::Never)
                {
                    return Ok(false);
                }
            }
        }
        Ok(true)
    }

    /// Rules out what would lose more than the slack, if the values show it.
    fn rule_out_by_values(&mut self, values: &Values, extra: Extra) -> Result<bool, Stop> {
        let widens = extra.widens;
        let job = extended(&self.relaxed, extra);
        let Some(model) = Model::new(&job, false, self.meter)? else {
            return Ok(false);
        };
        let own = widens.map_or(0, |piece| values.each[piece]) + values.slack + 1;
        let mut each = values.each.clone();
        match widens.filter(|_| job.pieces.len() == each.len()) {
            Some(piece) => each[piece] = own,
            None => each.push(own),
        }
        if !can_be_counted(&job, &each) {
            return Ok(false);
        }
        let of_kind = |members: &[usize]| members.iter().map(|&m| each[m]).max();
        let kinds = model.kinds.iter();
        let kinds: Vec<u64> = kinds.map(|k| of_kind(&k.members).unwrap_or(0)).collect();
        let mut best = values.best.clone();
        for (best, board) in best.iter_mut().zip(&model.boards) {
            if let Some(board) = board {
                let table = table::fill(board, &kinds, self.meter)?;
                *best = table::root(board, &table).1.max(*best);
            }
        }
        let certificate = bound::follow(&job, each, best);
        Ok(self.rules_out(extra, certificate))
    }

    /// Remembers what a certificate rules out, if it does.
    fn rules_out(&mut self, extra: Extra, certificate: Certificate) -> bool {
        let rules_out = match certificate.claim {
            Claim::NotEnough => true,
            Claim::CostsAtLeast(least) => least > self.budget,
        };
        if rules_out {
            self.ruled_out.push(RuledOut { extra, certificate });
        }
        rules_out
    }

    /// Looks for a plan with an extra, or a proof that there is none.
    fn ask(&mut self, extra: Extra) -> Result<Asked, Stop> {
        let job = extended(&self.job, extra);
        if job.check().is_ok()
            && let Some(model) = Model::new(&job, false, self.meter)?
        {
            let first = first_fit(&job, self.meter);
            let found = self.within(&model, first.as_deref());
            if let Some(cuttings) = found.cuttings
                && self.improve(extra, &cuttings)
            {
                return Ok(Asked::Found);
            }
            if !self.strict && self.rules_out(extra, found.certificate) {
                return Ok(Asked::Never);
            }
            self.meter.look()?;
        }
        if self.strict {
            let job = extended(&self.relaxed, extra);
            if let Some(model) = Model::new(&job, false, self.meter)? {
                let found = self.within(&model, None);
                if self.rules_out(extra, found.certificate) {
                    return Ok(Asked::Never);
                }
                self.meter.look()?;
            }
        }
        Ok(Asked::Open)
    }

    fn within(&mut self, model: &Model, first: Option<&[Cutting]>) -> Outcome {
        search::within(model, first, self.budget, self.effort, self.meter)
    }

    /// Takes a plan over, if it keeps more than the best one.
    fn improve(&mut self, extra: Extra, cuttings: &[Cutting]) -> bool {
        let mut all: Vec<Cutting> = Vec::new();
        for cutting in cuttings {
            let sheet = without(&self.job, extra, &cutting.sheet);
            answer::add(&mut all, cutting.stock, cutting.times, sheet);
        }
        let size = largest_offcut(&all, self.least);
        let sound =
            verify_cuttings(&self.job, &all).is_ok() && cost(&self.job, &all) == self.budget;
        let better = sound && size.0 * size.1 > self.area();
        if better {
            self.size = size;
            self.best = all;
        }
        better
    }
}
