//! Values drawn from the bytes of an input, so that a small change of the bytes is a small change of the values.

/// Reader of an input; past its end all values are the least.
pub(super) struct RandomBytes<'a> {
    left: &'a [u8],
}

impl<'a> RandomBytes<'a> {
    pub(super) const fn new(bytes: &'a [u8]) -> Self {
        Self { left: bytes }
    }

    /// Next byte.
    pub(super) fn byte(&mut self) -> u8 {
        let Some((first, rest)) = self.left.split_first() else { return 0 };
        self.left = rest;
        *first
    }

    /// Number below `end`.
    pub(super) fn below(&mut self, end: u8) -> u8 {
        self.byte() % end
    }

    /// Number from `least` to `greatest`, both of them often.
    pub(super) fn between(&mut self, least: f64, greatest: f64) -> f64 {
        let drawn = u16::from_be_bytes([self.byte(), self.byte()]);
        least + (greatest - least) * f64::from(drawn) / f64::from(u16::MAX)
    }

    /// Zero for half of the bytes, otherwise a number up to `greatest`.
    pub(super) fn often_zero(&mut self, greatest: f64) -> f64 {
        if self.byte() < 128 { 0.0 } else { self.between(0.0, greatest) }
    }

    /// All that is left.
    pub(super) const fn rest(&self) -> &'a [u8] {
        self.left
    }
}
