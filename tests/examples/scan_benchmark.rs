//! Runs `check` and `make` on scans of one invented grip with 50,000 to 200,000 triangles; prints the times.
//!
//!     cargo run --release -p gripwright-tests --example scan_benchmark -- PROGRAM FOLDER

use std::{error::Error, fs, path::Path, process::Command, time::Instant};

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let (Some(program), Some(folder)) = (arguments.next(), arguments.next()) else {
        return Err("usage: scan_benchmark PROGRAM FOLDER".into());
    };
    let folder = Path::new(&folder);
    fs::create_dir_all(folder)?;
    fs::write(folder.join("scan.toml"), SPEC)?;
    for (around, rings) in [(250_u32, 100_u32), (500, 100), (1000, 100)] {
        fs::write(folder.join("scan.stl"), scan(around, rings))?;
        let mut times = Vec::new();
        for command in ["check", "make"] {
            let mut rounds: Vec<f64> = Vec::new();
            for _ in 0..5 {
                let start = Instant::now();
                let mut run = Command::new(&program);
                run.arg(command).arg(folder.join("scan.toml")).arg("--quiet");
                if command == "make" {
                    run.arg("--out").arg(folder.join("files"));
                }
                if !run.status()?.success() {
                    return Err(format!("`{command}` failed with {} triangles", 2 * around * rings).into());
                }
                rounds.push(1e3 * start.elapsed().as_secs_f64());
            }
            rounds.sort_by(f64::total_cmp);
            times.push(rounds[2]);
        }
        #[expect(clippy::print_stdout, reason = "this program prints times")]
        {
            println!(
                "scan of {} triangles: check {:.0} ms, make {:.0} ms (medians of 5)",
                2 * around * rings,
                times[0],
                times[1]
            );
        }
    }
    Ok(())
}

const SPEC: &str = r#"
[holder]
name = "Scanned grip"
[body]
profile = { shape = "scan", file = "scan.stl", axis = "z", height = 30.3, centre = [0, 0] }
spread = 0.05
mount_length = 20.0
[[tools]]
name = "light"
diameter = 11.0
mass = "22 g"
working_load = { along = "1 N", across = "1 N" }
[layout]
offset = 32.0
[fit]
load_path = "report"
snap_on = { at_most = "80 N" }
hold = { safety = 1.5 }
[material]
print = "petg"
"#;

/// The lateral surface of a pear-shaped bar, 60 mm long, as binary STL.
#[expect(clippy::cast_possible_truncation, reason = "the format has single precision")]
fn scan(around: u32, rings: u32) -> Vec<u8> {
    let at = |i: u32, j: u32| -> [f32; 3] {
        let a = std::f64::consts::TAU * f64::from(i % around) / f64::from(around);
        let support = 13.5 + 1.3 * (2.0 * a).cos() - 0.6 * (3.0 * a).sin();
        let turned = -2.6 * (2.0 * a).sin() - 1.8 * (3.0 * a).cos();
        let (sin, cos) = a.sin_cos();
        let height = 60.0 * f64::from(j) / f64::from(rings);
        [(support * cos - turned * sin) as f32, (support * sin + turned * cos) as f32, height as f32]
    };
    let mut bytes = vec![b' '; 80];
    bytes.extend((2 * around * rings).to_le_bytes());
    for (i, j) in (0..around).flat_map(|i| (0..rings).map(move |j| (i, j))) {
        for triangle in [[(i, j), (i + 1, j), (i + 1, j + 1)], [(i, j), (i + 1, j + 1), (i, j + 1)]] {
            bytes.extend([0_u8; 12]);
            bytes.extend(triangle.iter().flat_map(|(i, j)| at(*i, *j)).flat_map(f32::to_le_bytes));
            bytes.extend([0_u8; 2]);
        }
    }
    bytes
}
