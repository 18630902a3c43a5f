//! Known sections, measured with noise, are recovered.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::f64::consts::{PI, TAU};

use gripwright_section::{Outline, Point, circle, ellipse, flatted_circle, rounded_rectangle};
use gripwright_survey::{
    CalliperReading, OutlineOptions, ReadingKind, SurveyError, outline_from_readings, reading_spread_mm,
};

const OPTIONS: OutlineOptions =
    OutlineOptions { tolerance_mm: 0.002, corner_mm: 0.2, hull: false, centre: Some(Point::ORIGIN) };

/// Normal noise from a fixed seed (Box and Muller's formula, from memory).
struct Noise(u64);

impl Noise {
    fn seeded(seed: u64) -> Self {
        let mut noise = Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15));
        for _ in 0..20 {
            noise.even();
        }
        noise
    }

    fn even(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        ((self.0 >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (-2.0 * self.even().ln()).sqrt() * (TAU * self.even()).cos()
    }
}

/// Distance from the origin to a convex outline in a direction, by halving.
fn radius(outline: &Outline, angle: f64) -> f64 {
    let (mut low, mut high) = (0.0, 400.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let inside = outline.nearest(Point::unit(angle) * middle).distance_mm < 0.0;
        if inside { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

fn width(outline: &Outline, angle: f64) -> f64 {
    let turned = outline.moved(-angle, Point::ORIGIN).bounds();
    turned.max.x - turned.min.x
}

/// Greatest distance between two outlines about the same middle.
fn apart(one: &Outline, other: &Outline) -> f64 {
    let off = |a: &Outline, b: &Outline| {
        let points = a.segments().iter().flat_map(|s| (0..20).map(|k| s.curve.at(f64::from(k) / 20.0)));
        points.map(|p| b.nearest(p).distance_mm.abs()).fold(0.0, f64::max)
    };
    off(one, other).max(off(other, one))
}

fn bodies() -> Vec<(&'static str, Outline)> {
    vec![
        ("circle", circle(27.2).unwrap()),
        ("ellipse", ellipse(30.0, 18.0, 1e-4).unwrap()),
        ("rounded rectangle", rounded_rectangle(24.0, 16.0, 4.0).unwrap()),
        ("slot", rounded_rectangle(20.0, 10.0, 5.0).unwrap()),
        ("flatted circle", flatted_circle(20.0, 17.0, 1.5).unwrap()),
    ]
}

fn radii(body: &Outline, count: i32, mut noise: impl FnMut() -> f64) -> Vec<CalliperReading> {
    let angles = (0..count).map(|k| TAU * f64::from(k) / f64::from(count));
    angles.map(|a| CalliperReading { angle_rad: a, values_mm: vec![radius(body, a) + noise()] }).collect()
}

/// Sections with corners need readings close enough to see them: 180 here; round ones do with 36.
#[test]
fn radii_with_noise_are_recovered_within_three_times_the_noise() {
    for (name, body) in bodies() {
        let count = if ["circle", "ellipse"].contains(&name) { 36 } else { 180 };
        for noise_mm in [0.02, 0.05] {
            for seed in 1..5 {
                let mut noise = Noise::seeded(seed);
                let found = outline_from_readings(
                    &radii(&body, count, || noise_mm * noise.normal()),
                    ReadingKind::Radii,
                    noise_mm,
                    &OPTIONS,
                );
                let found = found.unwrap_or_else(|e| panic!("{name}, noise {noise_mm} mm, seed {seed}: {e}"));
                let off = apart(&found.outline, &body);
                assert!(off <= 3.0 * noise_mm, "{name}, noise {noise_mm} mm, seed {seed}: off by {off}");
                assert!(found.rms_mm < 1.3 * noise_mm && found.largest_mm < 4.0 * noise_mm + 0.01, "{name}: {found:?}");
            }
        }
    }
}

#[test]
fn widths_with_noise_are_recovered_within_three_times_the_noise() {
    for (name, body) in bodies().into_iter().filter(|(name, _)| *name != "flatted circle") {
        let count = if ["circle", "ellipse"].contains(&name) { 18 } else { 60 };
        for noise_mm in [0.02, 0.05] {
            for seed in 1..5 {
                let mut noise = Noise::seeded(seed);
                let angles = (0..count).map(|k| PI * f64::from(k) / f64::from(count));
                let readings: Vec<CalliperReading> = angles
                    .map(|a| CalliperReading {
                        angle_rad: a,
                        values_mm: vec![width(&body, a) + noise_mm * noise.normal()],
                    })
                    .collect();
                let found = outline_from_readings(&readings, ReadingKind::Widths, noise_mm, &OPTIONS);
                let found = found.unwrap_or_else(|e| panic!("{name}, noise {noise_mm} mm, seed {seed}: {e}"));
                let off = apart(&found.outline, &body);
                assert!(off <= 3.0 * noise_mm, "{name}, noise {noise_mm} mm, seed {seed}: off by {off}");
            }
        }
    }
}

#[test]
fn repeated_readings_tell_the_spread() {
    let reading = |angle_rad: f64, values: &[f64]| CalliperReading { angle_rad, values_mm: values.to_vec() };
    // (0.01² + 0.01² + 0.02² + 0.02²) over two degrees of freedom.
    let twice = [reading(0.0, &[9.99, 10.01]), reading(1.0, &[10.02]), reading(1.0, &[9.98]), reading(2.0, &[10.0])];
    assert!((reading_spread_mm(&twice).unwrap() - 0.0005_f64.sqrt()).abs() < 1e-12);
    assert_eq!(reading_spread_mm(&[reading(0.0, &[10.0]), reading(1.0, &[10.1])]), None);
    // Readings that happen to agree do not make the calliper better than it is.
    assert_eq!(reading_spread_mm(&[reading(0.0, &[10.0, 10.0])]), Some(0.012));
}

#[test]
fn readings_that_tell_no_shape_are_refused() {
    let body = circle(20.0).unwrap();
    let with =
        |readings: &[CalliperReading]| outline_from_readings(readings, ReadingKind::Radii, 0.02, &OPTIONS).unwrap_err();
    assert_eq!(with(&[]), SurveyError::TooFewDirections { found: 0, fewest: 8 });
    assert_eq!(with(&radii(&body, 7, || 0.0)), SurveyError::TooFewDirections { found: 7, fewest: 8 });
    let mut gap = radii(&body, 36, || 0.0);
    gap.drain(3..10);
    assert_eq!(with(&gap), SurveyError::UnmeasuredSector { from_deg: 20.0, to_deg: 100.0, allowed_deg: 60.0 });
    let mut slip = radii(&body, 36, || 0.0);
    slip[9].values_mm = vec![8.0];
    let found = with(&slip);
    assert!(matches!(found, SurveyError::StrayReading { angle_deg, .. } if (angle_deg - 90.0).abs() < 1e-9), "{found}");
    let inches: Vec<CalliperReading> = radii(&body, 36, || 0.0)
        .into_iter()
        .map(|r| CalliperReading { values_mm: vec![r.values_mm[0] / 25.4], ..r })
        .collect();
    assert!(with(&inches).to_string().ends_with("too small by 25.4, as if inches were taken for millimetres"));
    let nothing: Vec<CalliperReading> =
        radii(&body, 36, || 0.0).into_iter().map(|r| CalliperReading { values_mm: vec![f64::NAN], ..r }).collect();
    assert!(matches!(with(&nothing), SurveyError::WrongSize { .. }));
}
