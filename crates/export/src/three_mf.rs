//! 3MF (core specification 1.3): named objects on the bed, in millimetres, as a package of deflated XML.
//!
//! The library writes texts and attributes as they come; what XML reserves is escaped here.

use std::io::Cursor;

use gripwright_solid::Mesh;
use threemf2::{
    model::builder::{ModelBuilder, ObjectType, Unit},
    package::ThreemfPackageBuilder,
};

/// Coordinates are whole multiples of this, mm: finer than the single precision that readers keep, and short to write.
const GRID_MM: f64 = 1e-6;

/// One object of the file and its place in the build.
#[derive(Clone, Copy, Debug)]
pub struct ThreeMfPart<'a> {
    /// Name that print programs show.
    pub name: &'a str,
    /// Number by which the part is told apart from its like.
    pub part_number: &'a str,
    /// Its triangles, mm, where they lie on the bed: nothing below z = 0.
    pub mesh: &'a Mesh,
}

/// What the file says of itself.
#[derive(Clone, Copy, Debug)]
pub struct ThreeMfHeader<'a> {
    /// What it is.
    pub title: &'a str,
    /// What it is for.
    pub description: &'a str,
    /// The program that made it.
    pub application: &'a str,
}

/// Why parts cannot be written as 3MF.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ThreeMfError {
    /// Nothing to write.
    #[error("a 3MF file needs at least one part with triangles")]
    NoTriangles,
    /// A triangle names a vertex that does not exist.
    #[error("triangle {triangle} of part {part} names vertex {vertex}, which does not exist")]
    NoSuchVertex {
        /// Index of the part.
        part: usize,
        /// Index of the triangle.
        triangle: usize,
        /// Index that it names.
        vertex: u32,
    },
    /// A coordinate that is no number, lies under the bed, or is too far to be written to the grid.
    #[error("vertex {vertex} of part {part} is not on or above the bed, or no number")]
    OffTheBed {
        /// Index of the part.
        part: usize,
        /// Index of the vertex.
        vertex: usize,
    },
    /// Two vertices fall together when rounded, which would pinch the surface.
    #[error("vertices {first} and {second} of part {part} fall together when rounded")]
    Merged {
        /// Index of the part.
        part: usize,
        /// Index of one vertex.
        first: usize,
        /// Index of the other.
        second: usize,
    },
    /// The library refuses what it was given.
    #[error("the package cannot be written: {0}")]
    Package(String),
}

/// The bytes of a 3MF file with one object and one build item for each part.
pub fn three_mf(parts: &[ThreeMfPart<'_>], header: &ThreeMfHeader<'_>) -> Result<Vec<u8>, ThreeMfError> {
    if parts.is_empty() || parts.iter().any(|part| part.mesh.triangles.is_empty()) {
        return Err(ThreeMfError::NoTriangles);
    }
    let mut model = ModelBuilder::new(Unit::Millimeter, true);
    for (name, text) in
        [("Title", header.title), ("Description", header.description), ("Application", header.application)]
    {
        model.add_metadata(name, Some(&escaped(text)));
    }
    model.add_build(None).map_err(|e| refused(&e))?;
    for (index, part) in parts.iter().enumerate() {
        let vertices = on_grid(index, part.mesh)?;
        let triangles = triangles(index, part.mesh)?;
        let object = model.add_mesh_object(|object| {
            object.name(&escaped(part.name)).part_number(&escaped(part.part_number)).object_type(ObjectType::Model);
            object.add_vertices(&vertices).add_triangles(&triangles);
            Ok(())
        });
        let object = object.map_err(|e| refused(&e))?;
        let placed = model.add_build_item_advanced(object, |item| {
            item.partnumber(&escaped(part.part_number));
        });
        placed.map_err(|e| refused(&e))?;
    }
    let mut package = ThreemfPackageBuilder::new();
    package.set_root_model(model.build().map_err(|e| refused(&e))?);
    let package = package.build().map_err(|e| refused(&e))?;
    let mut bytes = Cursor::new(Vec::new());
    // Entries carry the format's first date, 1980-01-01, so that the same parts give the same bytes.
    package.write(&mut bytes).map_err(|e| refused(&e))?;
    Ok(bytes.into_inner())
}

fn refused(error: &dyn std::fmt::Debug) -> ThreeMfError {
    ThreeMfError::Package(format!("{error:?}"))
}

/// The vertices on the grid, provided that different ones stay different and none lies under the bed.
fn on_grid(part: usize, mesh: &Mesh) -> Result<Vec<[f64; 3]>, ThreeMfError> {
    // Beyond this distance doubles are coarser than the grid.
    const FAR: f64 = 1e9;
    let steps: Vec<[f64; 3]> = mesh.vertices.iter().map(|v| v.map(|c| (c / GRID_MM).round() + 0.0)).collect();
    let off = |v: &[f64; 3]| v[2] < 0.0 || v.iter().any(|c| c.is_nan() || c.abs() * GRID_MM > FAR);
    if let Some(vertex) = steps.iter().position(off) {
        return Err(ThreeMfError::OffTheBed { part, vertex });
    }
    let mut order: Vec<usize> = (0..steps.len()).collect();
    // Zero has lost its sign above, so equal bits are equal coordinates.
    let bits = |i: usize| steps[i].map(f64::to_bits);
    order.sort_unstable_by_key(|&i| (bits(i), i));
    if let Some(pair) = order.windows(2).find(|pair| bits(pair[0]) == bits(pair[1])) {
        return Err(ThreeMfError::Merged { part, first: pair[0], second: pair[1] });
    }
    // Dividing by a whole number gives the double nearest to the decimal, which is written shortest.
    Ok(steps.into_iter().map(|v| v.map(|c| c / (1.0 / GRID_MM).round())).collect())
}

fn triangles(part: usize, mesh: &Mesh) -> Result<Vec<[usize; 3]>, ThreeMfError> {
    let checked = |(triangle, corners): (usize, &[u32; 3])| {
        let mut out = [0; 3];
        for (corner, &vertex) in out.iter_mut().zip(corners) {
            let missing = ThreeMfError::NoSuchVertex { part, triangle, vertex };
            *corner = usize::try_from(vertex).ok().filter(|&i| i < mesh.vertices.len()).ok_or(missing)?;
        }
        Ok(out)
    };
    mesh.triangles.iter().enumerate().map(checked).collect()
}

/// What XML 1.0 reserves, written as entities; what it cannot hold at all becomes the replacement character.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // In attributes these would be read as spaces.
            '\t' | '\n' | '\r' => out.push(' '),
            '\u{0}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            _ => out.push(character),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_escaped_once_and_bad_characters_replaced() {
        let given = "A & B <\"q\"> \u{7}\u{ffff}\tÜ";
        assert_eq!(escaped(given), "A &amp; B &lt;&quot;q&quot;&gt; \u{fffd}\u{fffd} Ü");
    }

    #[test]
    fn coordinates_are_written_to_the_grid() {
        let mesh = Mesh { vertices: vec![[1.0 / 3.0, 0.1 + 0.2, -0.0], [12.345_678_9, -4e-7, 1.0]], triangles: vec![] };
        let written = on_grid(0, &mesh).unwrap();
        assert_eq!(written, [[0.333_333, 0.3, 0.0], [12.345_679, 0.0, 1.0]]);
        assert!(written[0][2].is_sign_positive() && written[1][1].is_sign_positive());
    }
}
