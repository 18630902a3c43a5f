//! Sizes each spec on the command line once, then prints the time of one core for each kind of file that `make` writes:
//! means of thirty rounds, ms.

use std::{error::Error, fmt::Display, io::Write as _, path::Path, time::Instant};

use gripwright::solids::{CHORD_TOLERANCE_MM, Part, coupons_on, holders, sleeves};
use gripwright_export::{
    ShadedPart, StepHeader, StepPart, ThreeMfHeader, ThreeMfPart, View, picture, step, stl, three_mf,
};
use gripwright_input::{MaterialLibrary, read_spec};
use gripwright_sizing::{Design, size};
use gripwright_solid::{CheckLimits, check, mass_properties, triangulate};

const ROUNDS: u32 = 30;

fn main() -> Result<(), Box<dyn Error>> {
    let mut out = std::io::stdout();
    writeln!(
        out,
        "spec: parts built, checked and meshed (of that: checks, mass, meshes); STEP, STL, 3MF, PNG; all, ms"
    )?;
    for path in std::env::args().skip(1) {
        let name = Path::new(&path).file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let Ok(loaded) = read_spec(&std::fs::read_to_string(&path)?, &path, &MaterialLibrary::built_in()) else {
            writeln!(out, "{name}: left out, cannot be read by itself")?;
            continue;
        };
        match size(&loaded.spec) {
            Ok(design) => writeln!(out, "{name}: {}", times(&design, loaded.spec.printer.least_wall_mm)?)?,
            Err(_) => writeln!(out, "{name}: left out, cannot be sized by itself")?,
        }
    }
    Ok(())
}

/// Times of the stages for all parts of a design, as text.
fn times(design: &Design, least_wall_mm: f64) -> Result<String, Box<dyn Error>> {
    let plates = || -> Result<Vec<Vec<Part>>, Box<dyn Error>> {
        let plate = |plate| Ok(coupons_on(design, plate, least_wall_mm)?);
        design.coupons.plates.iter().map(plate).collect()
    };
    let single = || -> Result<Vec<Part>, Box<dyn Error>> {
        let mut parts = holders(design, least_wall_mm)?;
        parts.extend(sleeves(design, least_wall_mm)?);
        Ok(parts)
    };
    let (parts, plates_of) = (single()?, plates()?);
    let files: Vec<&[Part]> = parts.chunks(1).chain(plates_of.iter().map(Vec::as_slice)).collect();
    let pictures: Vec<(&[Part], [f64; 3])> = std::iter::once((parts.as_slice(), [-0.5, -0.35, -1.0]))
        .chain(plates_of.iter().map(|plate| (plate.as_slice(), [0.0, 0.15, -1.0])))
        .collect();

    let built = mean_ms(|| Ok((single()?, plates()?)))?;
    let every = || files.iter().copied().flatten();
    let limits = CheckLimits { least_wall_mm: Some(0.95 * least_wall_mm), least_wall_at_chamfers_mm: Some(0.19) };
    let checked = mean_ms(|| Ok(every().map(|part| check(&part.solid, &limits).len()).sum::<usize>()))?;
    let weighed = mean_ms(|| make_each(every(), |part| mass_properties(part.solid.brep())))?;
    let meshed = mean_ms(|| make_each(every(), |part| triangulate(part.solid.brep(), CHORD_TOLERANCE_MM)))?;
    let header = StepHeader::default();
    let steps = mean_ms(|| {
        make_each(files.iter(), |parts| {
            let parts: Vec<_> = parts.iter().map(|p| StepPart { name: p.solid.name(), brep: p.solid.brep() }).collect();
            step(&parts, &header)
        })
    })?;
    let stls = mean_ms(|| make_each(files.iter(), |parts| stl(&parts.iter().map(|p| &p.mesh).collect::<Vec<_>>())))?;
    let header = ThreeMfHeader { title: "title", description: "", application: "" };
    let packed = mean_ms(|| {
        make_each(&plates_of, |plate| {
            let parts: Vec<_> =
                plate.iter().map(|p| ThreeMfPart { name: p.solid.name(), part_number: "", mesh: &p.mesh }).collect();
            three_mf(&parts, &header)
        })
    })?;
    let drawn = mean_ms(|| {
        make_each(&pictures, |&(parts, direction)| {
            let shown: Vec<_> = parts
                .iter()
                .map(|p| ShadedPart { mesh: &p.mesh, brep: p.solid.brep(), tint: [188, 205, 196] })
                .collect();
            picture(&shown, &View { width_px: 960, height_px: 640, direction, up: [0.0, 1.0, 0.0] })
        })
    })?;
    let all = built + steps + stls + packed + drawn;
    Ok(format!(
        "{built:.1} ({checked:.1}, {weighed:.1}, {meshed:.1}); {steps:.1}, {stls:.1}, {packed:.1}, {drawn:.1}; {all:.1}"
    ))
}

/// Applies `make` to each thing; stops at the first error.
fn make_each<T, R, E: Display>(
    things: impl IntoIterator<Item = T>,
    make: impl Fn(T) -> Result<R, E>,
) -> Result<Vec<R>, Box<dyn Error>> {
    things.into_iter().map(|thing| make(thing).map_err(|e| e.to_string().into())).collect()
}

/// Mean time of `work` over all rounds, ms. Many rounds are needed because the system counts in ticks of several ms.
fn mean_ms<R>(work: impl Fn() -> Result<R, Box<dyn Error>>) -> Result<f64, Box<dyn Error>> {
    drop(work()?);
    let (start, busy) = (Instant::now(), busy_ms());
    for _ in 0..ROUNDS {
        drop(work()?);
    }
    let elapsed = 1e3 * start.elapsed().as_secs_f64();
    let spent = busy.zip(busy_ms()).map_or(elapsed, |(before, after)| after - before);
    Ok(spent / f64::from(ROUNDS))
}

/// Processor time of this thread, ms, without other work of the machine; `None` where the system does not report it.
fn busy_ms() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    Some(1e-6 * text.split_whitespace().next()?.parse::<f64>().ok()?)
}
