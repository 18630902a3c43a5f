//! Rounding to multiples of a step.

/// The multiple of `step` nearest to `value`.
pub(crate) fn round_to(value: f64, step: f64) -> f64 {
    let count = (1.0 / step).round();
    (value * count).round() / count
}

/// The greatest multiple of `step` that is not above `value`.
pub(crate) fn floor_to(value: f64, step: f64) -> f64 {
    let count = (1.0 / step).round();
    (value * count).floor() / count
}

/// Most decimals of a figure in a message.
const MOST_DECIMALS: usize = 6;

/// A figure and its limit as text, with as many decimals beyond `decimals` as tell them apart.
pub(crate) fn told_apart(figure: f64, limit: f64, decimals: usize) -> [String; 2] {
    let shown = |decimals: usize| [figure, limit].map(|value| format!("{value:.decimals$}"));
    (decimals..MOST_DECIMALS).map(shown).find(|[one, other]| one != other).unwrap_or_else(|| shown(MOST_DECIMALS))
}

/// The least multiple of `step` that is not below `value`, up to rounding errors.
pub(crate) fn ceil_to(value: f64, step: f64) -> f64 {
    let count = (1.0 / step).round();
    (value * count - 1e-9).ceil() / count
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_never_reads_as_its_limit() {
        assert_eq!(told_apart(1.684, 1.679, 2), ["1.684", "1.679"].map(str::to_owned));
        assert_eq!(told_apart(1.9, 1.679, 2), ["1.90", "1.68"].map(str::to_owned));
        assert_eq!(told_apart(60.2, 60.0, 0), ["60.2", "60.0"].map(str::to_owned));
        assert_eq!(told_apart(1.0, 1.0, 2), ["1.000000", "1.000000"].map(str::to_owned));
    }
}
