//! Files of a mould: masters, printed parts, bench sheet, document.

use gripwright_export::{ThreeMfHeader, ThreeMfPart, three_mf};
use gripwright_input::{LoadedSpec, Spec};
use gripwright_report::bench_sheet_html;
use gripwright_sizing::Design;
use gripwright_solid::{Mesh, Motion};
use rayon::prelude::*;
use serde_json::Value;

use crate::{
    design_report::source_texts,
    mould::{
        bench_facts_of_plan::bench_sheet,
        cast_master::CastKind,
        mould_document::mould_document,
        mould_plan::MouldPlan,
        mould_report::{MOULD_REPORT, mould_report},
    },
    output_file::{DescribedFile, FileEntry, OutputError, OutputFile, ShapesAbout, shape_files},
    recorded_files::NamedFiles,
    seal::sealed_document,
    solids::{CHORD_TOLERANCE_MM, mould_part},
    version::MADE_BY,
};

/// Name of the document of a mould.
pub const MOULD_DOCUMENT: &str = "mould.json";
/// Free space between parts that lie side by side in one file, mm.
const GAP_MM: f64 = 8.0;

/// Files of a mould.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct MouldFiles {
    /// The files; the last one is the document.
    pub files: Vec<OutputFile>,
    /// The document as a value.
    pub document: Value,
}

/// Encodes the files of a mould.
pub(crate) fn mould_files(
    loaded: &LoadedSpec,
    named_files: &NamedFiles,
    design: &Design,
    plan: &MouldPlan,
    unix_seconds: u32,
) -> Result<MouldFiles, OutputError> {
    let spec = &loaded.spec;
    let mut files = master_files(spec, plan, unix_seconds)?;
    files.extend(box_files(spec, plan, unix_seconds)?);
    let sheet = bench_sheet(spec, design, plan);
    files.push(DescribedFile::plain("bench-sheet.html", "bench-sheet", bench_sheet_html(&sheet).into_bytes()));
    let entries: Vec<FileEntry> = files.iter().map(DescribedFile::listed).collect();
    let mut document = mould_document(spec, design, plan, &entries);
    let sources = source_texts(loaded.source.text(), named_files);
    let page =
        DescribedFile::plain(MOULD_REPORT, "report", mould_report(spec, plan, &sheet, &document, sources).into_bytes());
    if let Some(listed) = document["files"].as_array_mut() {
        listed.push(serde_json::to_value(page.listed()).unwrap_or_default());
    }
    files.push(page);
    document["bench_sheet"] = serde_json::to_value(&sheet).unwrap_or_default();
    let mut files: Vec<OutputFile> =
        files.into_iter().map(|file| OutputFile::new(file.entry.path, file.bytes)).collect();
    files.push(OutputFile::new(MOULD_DOCUMENT.to_owned(), sealed_document(&document)));
    Ok(MouldFiles { files, document })
}

/// Masters, each as STEP and STL, and all of one mould as 3MF.
fn master_files(spec: &Spec, plan: &MouldPlan, unix_seconds: u32) -> Result<Vec<DescribedFile>, OutputError> {
    let about = ShapesAbout { spec, description: "master", unix_seconds };
    let several = plan.masters.iter().filter(|master| master.kind == CastKind::Holder).count() > 1;
    let encoded = plan.masters.par_iter().zip(&plan.printed).map(|(master, printed)| {
        let kind = match master.kind {
            CastKind::Holder => "master",
            CastKind::Slice => "master-slice",
        };
        let stem = if several { format!("{kind}-{}", master.letter.to_ascii_lowercase()) } else { kind.to_owned() };
        shape_files(&stem, std::slice::from_ref(printed), &about)
    });
    let shapes = encoded.collect::<Vec<_>>().into_iter().collect::<Result<Vec<_>, _>>()?;
    let pieces = plan.masters.iter().zip(&plan.printed);
    let printed = pieces.map(|(master, printed)| (printed.solid.name(), &printed.mesh, master.count));
    let title = format!("{}: masters of a mould", spec.name);
    let description = format!("Masters, printed in {}.", spec.material.print.title);
    let package = package("master", &title, &description, printed)?;
    Ok(shapes.into_iter().flatten().chain([package]).collect())
}

/// Printed parts of the box: all as STEP side by side, each kind as STL, and all pieces as 3MF.
fn box_files(spec: &Spec, plan: &MouldPlan, unix_seconds: u32) -> Result<Vec<DescribedFile>, OutputError> {
    let mut at = 0.0;
    let mut row = Vec::new();
    for part in &plan.parts {
        let bounds = part.solid.brep().bounds();
        let [low, size] = bounds.map_or([[0.0; 3]; 2], |bounds| [bounds.min_mm, bounds.size_mm()]);
        let motion = Motion::shift([at - low[0], -low[1], 0.0]);
        at += size[0] + GAP_MM;
        row.push(mould_part(part.solid.moved(&motion))?);
    }
    let about = ShapesAbout { spec, description: "parts of a mould", unix_seconds };
    let [step, stl] = shape_files("mould-parts", &row, &about)?;
    let pieces = row.iter().zip(&plan.parts).map(|(part, piece)| (part.solid.name(), &part.mesh, piece.places.len()));
    let title = format!("{}: parts of a mould", spec.name);
    let package = package("mould-parts", &title, "Box, board, rods and formers, each in its number.", pieces)?;
    Ok(vec![step, stl, package])
}

/// Returns a 3MF file with each mesh in its number, side by side on z = 0.
fn package<'a>(
    stem: &str,
    title: &str,
    description: &str,
    meshes: impl Iterator<Item = (&'a str, &'a Mesh, usize)>,
) -> Result<DescribedFile, OutputError> {
    let path = format!("{stem}.3mf");
    let mut at = 0.0;
    let mut placed: Vec<(&str, Mesh)> = Vec::new();
    for (name, mesh, count) in meshes {
        for _ in 0..count {
            let [low, high] = extent(mesh);
            let shift = [at - low[0], -low[1], -low[2]];
            at += high[0] - low[0] + GAP_MM;
            let moved = |v: &[f64; 3]| [v[0] + shift[0], v[1] + shift[1], (v[2] + shift[2]).max(0.0)];
            placed.push((name, Mesh { vertices: mesh.vertices.iter().map(moved).collect(), ..mesh.clone() }));
        }
    }
    let listed: Vec<ThreeMfPart<'_>> =
        placed.iter().map(|(name, mesh)| ThreeMfPart { name, part_number: name, mesh }).collect();
    let header = ThreeMfHeader { title, description, application: MADE_BY };
    let bytes = three_mf(&listed, &header).map_err(|error| OutputError::encoding(&path, error))?;
    let entry = FileEntry {
        path,
        kind: "3mf",
        title: Some(title.to_owned()),
        description: Some(description.to_owned()),
        chord_tolerance_mm: Some(CHORD_TOLERANCE_MM),
        ..FileEntry::default()
    };
    Ok(DescribedFile { bytes, entry })
}

/// Least and greatest coordinates of a mesh, mm.
fn extent(mesh: &Mesh) -> [[f64; 3]; 2] {
    let start = [[f64::INFINITY; 3], [f64::NEG_INFINITY; 3]];
    mesh.vertices.iter().fold(start, |[low, high], v| {
        [[0, 1, 2].map(|k| f64::min(low[k], v[k])), [0, 1, 2].map(|k| f64::max(high[k], v[k]))]
    })
}
