//! Work counted in steps, so that a search ends at the same place on every machine.

/// How many steps pass between two looks at the caller's wish to stop.
const ASK_EVERY: u64 = 4096;

/// Steps spent and allowed, and the caller's wish to stop.
pub(crate) struct Budget<'a> {
    limit: u64,
    spent: u64,
    ask_at: u64,
    cancel: &'a dyn Fn() -> bool,
    cancelled: bool,
}

impl<'a> Budget<'a> {
    /// A fresh budget of `limit` steps.
    pub fn new(limit: u64, cancel: &'a dyn Fn() -> bool) -> Budget<'a> {
        Budget { limit, spent: 0, ask_at: 0, cancel, cancelled: false }
    }

    /// Spends steps; true while the search may go on.
    pub fn spend(&mut self, steps: u64) -> bool {
        self.spent = self.spent.saturating_add(steps);
        if self.spent >= self.ask_at && !self.cancelled {
            self.ask_at = self.spent.saturating_add(ASK_EVERY);
            self.cancelled = (self.cancel)();
        }
        !self.out()
    }

    /// True when no step is left or the caller wants to stop.
    pub fn out(&self) -> bool {
        self.cancelled || self.spent >= self.limit
    }

    /// Steps that are left.
    pub fn left(&self) -> u64 {
        if self.cancelled { 0 } else { self.limit.saturating_sub(self.spent) }
    }

    /// Steps spent up to now.
    pub fn spent(&self) -> u64 {
        self.spent
    }

    /// Runs a stage that may use at most `cap` of the steps that are left.
    pub fn capped<R>(&mut self, cap: u64, stage: impl FnOnce(&mut Self) -> R) -> R {
        let whole = self.limit;
        self.limit = whole.min(self.spent.saturating_add(cap));
        let result = stage(self);
        self.limit = whole;
        result
    }
}
