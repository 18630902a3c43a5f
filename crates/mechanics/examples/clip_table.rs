//! Runs the clips of a CSV file through the contact solver and prints a CSV of results.
//!
//! ```text
//! cargo run --release -p gripwright-mechanics --example clip_table -- FILE.csv
//! ```
//!
//! Input columns in any order; other columns and lines that begin with `#` are ignored. Units: mm, degrees, MPa.
//!
//! * `id`, `E_MPa`, `nu`, `t_mm` (wall), `wrap_2alpha_deg` (angle embraced), `mu`; plane strain
//! * round clips: `Ri_mm` (seat radius), `Rt_mm` (barrel radius), `clamp_halfangle_gamma_deg` (outer face held up to
//!   there)
//! * hexagonal bars instead of `Rt_mm`: `hexagon_flats_mm` (size across flats), `hexagon_corner_mm` (rounding),
//!   `hexagon_down` (`flat` or `corner`)
//! * if given: `lip_wall_mm` (outer arc eccentric, wall at the end of the seat), `lead_in_radius_mm` and
//!   `lead_in_angle_deg` (flare beyond the seat)
//! * mounts instead: `body_width_mm`, `body_height_mm`, `body_corner_mm` (rounded rectangle), `gap_mm` (clearance),
//!   `clamp_halfwidth_mm` (outer floor held up to there)
//!
//! Forces are for the whole clip, N per mm of its length. The model has no corner whose forces depend on a mesh, so the
//! `extrap` columns repeat the plain ones.

#![expect(clippy::print_stdout, clippy::print_stderr, reason = "an example prints its result")]

use std::{env, fmt::Write, fs, process::ExitCode, time::Instant};

use gripwright_mechanics::{
    ArmGeometry, CoulombFriction, InsertionOutcome, MeshDensity, MeshedClip, PlaneStiffness, RigidSection, SnapRun,
    SolverSettings, simulate,
};
use gripwright_section::{
    ClipBack, Curve, HexagonOrientation, LeadIn, LipRound, Mount, RoundClip, hexagon, rounded_rectangle,
};

const RESULTS: [&str; 22] = [
    "ins_peak_N_per_mm",
    "ins_peak_tool_y_mm",
    "ret_peak_N_per_mm",
    "ret_peak_tool_y_mm",
    "tip_open_at_ins_peak_mm",
    "tip_open_at_ret_peak_mm",
    "tip_open_max_mm",
    "eps_inner_at_ins_peak",
    "eps_inner_max_insertion",
    "eps_inner_max_pullout",
    "eps_outer_min_insertion",
    "sum_normal_force_at_ins_peak_N_per_mm",
    "snaps_in",
    "max_pull_in_force_N_per_mm",
    "seat_tool_y_mm",
    "grip_normal_total_N_per_mm",
    "grip_normal_lower_flanks_N_per_mm",
    "eps_inner_at_seat",
    "ins_peak_extrap_N_per_mm",
    "ret_peak_extrap_N_per_mm",
    "grip_extrap_N_per_mm",
    "outcome",
];

fn main() -> ExitCode {
    let Some(path) = env::args().nth(1) else {
        eprintln!("usage: clip_table FILE.csv");
        return ExitCode::from(2);
    };
    let text = match fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) => {
            eprintln!("{path}: {error}");
            return ExitCode::from(2);
        }
    };
    let mut lines = text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty() && !l.starts_with('#'));
    let Some((_, head)) = lines.next() else {
        eprintln!("{path}: no head line");
        return ExitCode::from(2);
    };
    let columns: Vec<&str> = head.split(',').map(str::trim).collect();
    println!("id,{},seconds", RESULTS.join(","));
    let mut wrong = false;
    for (index, line) in lines {
        let cells: Vec<&str> = line.split(',').map(str::trim).collect();
        let row = Row { columns: &columns, cells: &cells };
        match row.run() {
            Ok(text) => println!("{text}"),
            Err(error) => {
                eprintln!("{path}:{}: {error}", index + 1);
                wrong = true;
            }
        }
    }
    if wrong { ExitCode::from(1) } else { ExitCode::SUCCESS }
}

struct Row<'a> {
    columns: &'a [&'a str],
    cells: &'a [&'a str],
}

impl Row<'_> {
    fn text(&self, column: &str) -> Option<&str> {
        let index = self.columns.iter().position(|c| *c == column)?;
        self.cells.get(index).copied().filter(|cell| !cell.is_empty())
    }

    fn maybe(&self, column: &str) -> Result<Option<f64>, String> {
        let Some(text) = self.text(column) else { return Ok(None) };
        match text.parse::<f64>() {
            Ok(value) if value.is_finite() => Ok(Some(value)),
            _ => Err(format!("`{column}` is `{text}`; it must be a number")),
        }
    }

    fn number(&self, column: &str) -> Result<f64, String> {
        self.maybe(column)?.ok_or_else(|| format!("`{column}` is missing"))
    }

    fn run(&self) -> Result<String, String> {
        let id = self.text("id").unwrap_or("");
        let stiffness = PlaneStiffness::plane_strain(self.number("E_MPa")?, self.number("nu")?);
        let friction = CoulombFriction { coefficient: self.number("mu")? };
        let start = Instant::now();
        let (clip, rigid) = if self.maybe("body_width_mm")?.is_some() { self.mount()? } else { self.round()? };
        let snap = simulate(&clip, &rigid, friction, stiffness, &SolverSettings::default());
        let seconds = start.elapsed().as_secs_f64();
        let mut out = id.to_owned();
        for value in figures(&snap) {
            out.push(',');
            out.push_str(&value);
        }
        let _ = write!(out, ",{seconds:.6}");
        Ok(out)
    }

    fn round(&self) -> Result<(MeshedClip, RigidSection), String> {
        let half_wrap_rad = 0.5 * self.number("wrap_2alpha_deg")?.to_radians();
        let pad_rad = self.number("clamp_halfangle_gamma_deg")?.to_radians();
        let wall = self.number("t_mm")?;
        let lead_in = match (self.maybe("lead_in_radius_mm")?, self.maybe("lead_in_angle_deg")?) {
            (Some(radius_mm), Some(angle)) => Some(LeadIn { radius_mm, angle_rad: angle.to_radians() }),
            _ => None,
        };
        let drawn = RoundClip {
            seat_radius_mm: self.number("Ri_mm")?,
            root_wall_mm: wall,
            lip_wall_mm: self.maybe("lip_wall_mm")?.unwrap_or(wall),
            half_wrap_rad,
            lead_in,
            // The back is not drawn here; the pad's edge is given as an angle.
            back: ClipBack::Pad { half_width_mm: 1.0, depth_mm: 1.0, fillet_mm: 0.5 },
        };
        let clip = MeshedClip::from_round_clip(&drawn, pad_rad, [0.0, 0.0], MeshDensity::default())
            .map_err(|e| e.to_string())?;
        let rigid = match self.maybe("hexagon_flats_mm")? {
            Some(flats) => self.hexagon(flats)?,
            None => RigidSection::round(self.number("Rt_mm")?),
        };
        Ok((clip, rigid))
    }

    fn hexagon(&self, flats_mm: f64) -> Result<RigidSection, String> {
        let attitude = match self.text("hexagon_down") {
            Some("flat") => HexagonOrientation::FlatDown,
            Some("corner") => HexagonOrientation::CornerDown,
            _ => return Err("`hexagon_down` must be flat or corner".to_owned()),
        };
        let outline = hexagon(flats_mm, self.number("hexagon_corner_mm")?, attitude).map_err(|e| e.to_string())?;
        RigidSection::from_outline(&outline).map_err(|e| e.to_string())
    }

    fn mount(&self) -> Result<(MeshedClip, RigidSection), String> {
        let body = rounded_rectangle(
            self.number("body_width_mm")?,
            self.number("body_height_mm")?,
            self.number("body_corner_mm")?,
        )
        .map_err(|e| e.to_string())?;
        let wall = self.number("t_mm")?;
        let pad_mm = self.number("clamp_halfwidth_mm")?;
        let half_wrap_rad = 0.5 * self.number("wrap_2alpha_deg")?.to_radians();
        let mount = Mount {
            body: body.clone(),
            gap_mm: self.number("gap_mm")?,
            wall_mm: wall,
            half_wrap_rad,
            lead_in: None,
            back: ClipBack::Pad { half_width_mm: pad_mm, depth_mm: 1.0, fillet_mm: 0.5 },
        };
        let inner_face: Vec<Curve> = mount.right_arm().map_err(|e| e.to_string())?;
        let end = inner_face.last().ok_or("the arm has no inner face")?;
        let lip = LipRound { centre: end.end() - end.tangent(1.0).turned_left() * (0.5 * wall), radius_mm: 0.5 * wall };
        let plan = ArmGeometry { inner_face: &inner_face, wall: &|_, _| wall, pad_mm, lip };
        let clip = MeshedClip::symmetric(&plan, MeshDensity::default()).map_err(|e| e.to_string())?;
        Ok((clip, RigidSection::from_outline(&body).map_err(|e| e.to_string())?))
    }
}

fn figures(snap: &SnapRun) -> Vec<String> {
    let (push, pull) = (snap.snap_in, snap.pull_out);
    let mut out: Vec<String> = [
        push.force_n_per_mm,
        push.axis_mm,
        pull.force_n_per_mm,
        pull.axis_mm,
        push.opening_mm,
        pull.opening_mm,
        snap.opening_mm,
        push.inner_strain,
        snap.inner_strain_in,
        snap.inner_strain_out,
        snap.outer_strain_in,
        push.normals_n_per_mm,
        f64::from(u8::from(snap.outcome == InsertionOutcome::Snaps)),
        snap.pull_in_n_per_mm,
        snap.seat_axis_mm,
        snap.grip_n_per_mm,
        snap.grip_below_n_per_mm,
        snap.strain_at_rest,
        push.force_n_per_mm,
        pull.force_n_per_mm,
        snap.grip_n_per_mm,
    ]
    .iter()
    .map(|v| format!("{v:.7}"))
    .collect();
    out.push(outcome(&snap.outcome));
    out
}

fn outcome(outcome: &InsertionOutcome) -> String {
    match outcome {
        InsertionOutcome::Snaps => "snaps".to_owned(),
        InsertionOutcome::PushedHome => "pushed home".to_owned(),
        InsertionOutcome::Passes => "passes without touching".to_owned(),
        InsertionOutcome::Locks { touch_rad, least_rad } => {
            format!("locks: touched at {:.1} deg below {:.1} deg", touch_rad.to_degrees(), least_rad.to_degrees())
        }
        InsertionOutcome::OverStrained { strain, .. } => format!("over-strained before the peak: {strain:.4}"),
        InsertionOutcome::Jams { axis_mm } => format!("jams at {axis_mm:.3} mm"),
        other => format!("{other:?}"),
    }
}
