//! Prints outlines with their properties, as JSON for `tests/outside/check_outline.py`.

use std::{error::Error, fmt::Write as _, io::Write as _};

use gripwright_section::{
    ClipBack, Curve, LeadIn, Mount, Outline, Point, RoundClip, circle, ellipse, flatted_circle, inset,
    rounded_rectangle,
};

/// Inward offset of every side, mm.
const INSET_MM: f64 = 0.3;
/// Points along each side of the grid of compared distances.
const GRID: u32 = 17;

fn main() -> Result<(), Box<dyn Error>> {
    let mut text = format!("{{\"inset_mm\":{INSET_MM},\"shapes\":[");
    for (index, (name, outline)) in shapes()?.iter().enumerate() {
        text.push_str(if index == 0 { "" } else { "," });
        push_shape(&mut text, name, outline)?;
    }
    text.push_str("]}");
    writeln!(std::io::stdout(), "{text}")?;
    Ok(())
}

fn shapes() -> Result<Vec<(&'static str, Outline)>, Box<dyn Error>> {
    let lead_in = Some(LeadIn { radius_mm: 2.0, angle_rad: 0.7 });
    let pad = ClipBack::Pad { half_width_mm: 3.0, depth_mm: 1.0, fillet_mm: 1.0 };
    let tab =
        ClipBack::Tab { neck_half_width_mm: 3.0, depth_mm: 1.0, fillet_mm: 1.0, half_width_mm: 9.0, length_mm: 7.0 };
    let clip =
        RoundClip { seat_radius_mm: 6.4, root_wall_mm: 1.8, lip_wall_mm: 1.3, half_wrap_rad: 1.95, lead_in, back: pad };
    let mount = |body| Mount { body, gap_mm: -0.05, wall_mm: 1.8, half_wrap_rad: 1.9, lead_in, back: pad };
    Ok(vec![
        ("circle", circle(27.2)?),
        ("rounded rectangle", rounded_rectangle(24.0, 16.0, 4.0)?),
        ("flatted circle", flatted_circle(20.0, 17.0, 1.5)?),
        ("ellipse", ellipse(30.0, 20.0, 1e-3)?),
        ("clip with a pad", clip.outline()?),
        ("plain clip with a tab", RoundClip { lead_in: None, lip_wall_mm: 1.8, back: tab, ..clip }.outline()?),
        ("mount on a rounded rectangle", mount(rounded_rectangle(24.0, 16.0, 4.0)?).outline()?),
        ("mount on a tube", mount(circle(27.2)?).outline()?),
    ])
}

fn push_shape(text: &mut String, name: &str, outline: &Outline) -> Result<(), Box<dyn Error>> {
    let bounds = outline.bounds();
    write!(
        text,
        "{{\"name\":\"{name}\",\"area_mm2\":{},\"perimeter_mm\":{},\"segments\":[",
        outline.area_mm2(),
        outline.perimeter_mm()
    )?;
    push_segments(text, outline)?;
    let amounts = vec![INSET_MM; outline.segments().len()];
    let smaller = inset(outline, &amounts)?.to_outline(outline)?;
    write!(text, "],\"inset_area_mm2\":{},\"inset_segments\":[", smaller.area_mm2())?;
    push_segments(text, &smaller)?;
    text.push_str("],\"distances\":[");
    let size = bounds.size();
    for step in 0..GRID * GRID {
        // The grid reaches a fifth beyond the outline on each side.
        let [u, v] = [step % GRID, step / GRID].map(|i| f64::from(i) / f64::from(GRID - 1) * 1.4 - 0.7);
        let point = bounds.centre() + Point::new(u * size.x, v * size.y);
        let comma = if step == 0 { "" } else { "," };
        write!(text, "{comma}[{},{},{}]", point.x, point.y, outline.nearest(point).distance_mm)?;
    }
    text.push_str("]}");
    Ok(())
}

fn push_segments(text: &mut String, outline: &Outline) -> std::fmt::Result {
    for (index, segment) in outline.segments().iter().enumerate() {
        text.push_str(if index == 0 { "" } else { "," });
        match segment.curve {
            Curve::Line { start, end } => {
                write!(
                    text,
                    "{{\"kind\":\"line\",\"start\":[{},{}],\"end\":[{},{}]}}",
                    start.x, start.y, end.x, end.y
                )?;
            }
            Curve::Arc { centre, radius, start_angle, sweep } => write!(
                text,
                "{{\"kind\":\"arc\",\"centre\":[{},{}],\"radius\":{radius},\"start_angle\":{start_angle},\"sweep\":{sweep}}}",
                centre.x, centre.y
            )?,
        }
    }
    Ok(())
}
