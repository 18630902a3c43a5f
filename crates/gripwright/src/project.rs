//! Project: one spec with the files that it names, and the design made from it.

use std::{collections::BTreeMap, str::FromStr};

use gripwright_calibration::NextPlate;
use gripwright_input::{
    Calibration, CalibrationOrigin, Diagnostic, LoadedSpec, Source, Spec, TrialRound, TrialTarget, Trials, read_trials,
};
use gripwright_sizing::{Design, RefusalNotice, Sizer};
use serde_json::Value;

use crate::{
    calibration_document,
    calibration_input::{check_coupons, read_named_calibration},
    calibration_origin, calibration_person,
    calibration_report::{CalibrationContext, calibration_report},
    calibration_run::{self, CalibrationRun},
    coupon_selection::{CouponSelection, select_coupons},
    design_document::DesignDocument,
    design_files::{DesignFiles, DesignParts, FileOptions, design_files},
    design_report::{ReportContext, source_texts},
    mould::{
        mould_error::MouldError,
        mould_files::{MouldFiles, mould_files},
        mould_plan::{MouldPlan, mould_plan},
    },
    next_measurement,
    output_file::{OutputError, OutputFile},
    problems::Problems,
    recorded_files::{NamedFiles, RecordedFiles},
    sizing_run::{SizingError, size_spec, size_without_trials},
    solids::{self, Outputs, PartError, Parts},
    spec_files::SpecFiles,
    spec_reading::read_spec,
    trials_sheet::trials_sheet,
};

/// A checked spec with its materials, measured bodies and calibration, and a cache of solver results.
///
/// A spec that names no other file can be parsed from its text alone: `text.parse::<Project>()`.
#[derive(Debug)]
pub struct Project {
    loaded: LoadedSpec,
    calibration: Option<Calibration>,
    /// Files that the spec names, for the report.
    named_files: NamedFiles,
    sizer: Sizer,
}

impl Project {
    /// Reads and checks a spec and the files that it names.
    ///
    /// `file` is the path of the spec as messages show it; `files` supplies the material library, drawings, scans and
    /// the calibration that it names. Refuses a calibration that was made for another spec.
    pub fn read(bytes: &[u8], file: &str, files: &dyn SpecFiles) -> Result<Self, Problems> {
        let mut project = Self::read_uncalibrated(bytes, file, files)?;
        let recorded = RecordedFiles::new(files);
        project.calibration = read_named_calibration(&project.loaded, &recorded)?;
        project.named_files.extend(recorded.into_read());
        Ok(project)
    }

    /// Reads a spec and the files that it names, all but its calibration: a new one need not exist yet.
    pub fn read_uncalibrated(bytes: &[u8], file: &str, files: &dyn SpecFiles) -> Result<Self, Problems> {
        let recorded = RecordedFiles::new(files);
        let loaded = read_spec(bytes, file, &recorded)?;
        Ok(Self { loaded, calibration: None, named_files: recorded.into_read(), sizer: Sizer::new() })
    }

    /// The same project, whose designs leave out how far matched coupons are off at every step: most of the work of a match,
    /// which shows in documents and on coupon sheets alone.
    #[must_use]
    pub fn without_steps(self) -> Self {
        Self { sizer: Sizer::without_steps(), ..self }
    }

    /// The same project, which tells why its spec is refused before it looks for changes that free it.
    #[must_use]
    pub fn with_refusal_notice(self, notice: RefusalNotice) -> Self {
        Self { sizer: self.sizer.with_refusal_notice(notice), ..self }
    }

    /// The checked values of the spec.
    pub fn spec(&self) -> &Spec {
        &self.loaded.spec
    }

    /// Text of the spec with the places of its values.
    pub fn source(&self) -> &Source {
        &self.loaded.source
    }

    /// Warnings: values of the spec that are probably not meant as written.
    pub fn warnings(&self) -> &[Diagnostic] {
        &self.loaded.warnings
    }

    /// The calibration that the spec names.
    pub fn calibration(&self) -> Option<&Calibration> {
        self.calibration.as_ref()
    }

    /// Parts of the spec that its trials depend on, without the coupons.
    pub fn calibration_origin(&self) -> Vec<CalibrationOrigin> {
        calibration_origin::spec_origin(self.spec())
    }

    /// Sizes the holders and coupons, on all cores, with the calibration if there is one.
    pub fn design(&self) -> Result<ProjectDesign<'_>, SizingError> {
        let design = size_spec(&self.sizer, &self.loaded, self.calibration.as_ref())?;
        Ok(ProjectDesign { project: self, design, selection: CouponSelection::default() })
    }

    /// Sizes the holders and coupons without the calibration, as they were when the first coupons were cut: trials and
    /// the next plate refer to this design. Refuses a calibration that was made with other coupons.
    pub fn design_without_trials(&self) -> Result<ProjectDesign<'_>, SizingError> {
        let design = size_without_trials(&self.sizer, &self.loaded)?;
        if let Some(calibration) = &self.calibration {
            check_coupons(calibration, &self.loaded, &design).map_err(SizingError::BadSpec)?;
        }
        Ok(ProjectDesign { project: self, design, selection: CouponSelection::default() })
    }
}

/// Reads a spec that names no other file. Diagnostics call it `spec.toml`.
impl FromStr for Project {
    type Err = Problems;

    fn from_str(text: &str) -> Result<Self, Problems> {
        Self::read(text.as_bytes(), "spec.toml", &BTreeMap::new())
    }
}

/// A design of a [`Project`], from which parts and files are made.
#[derive(Clone, Debug)]
pub struct ProjectDesign<'a> {
    project: &'a Project,
    design: Design,
    selection: CouponSelection,
}

impl<'a> ProjectDesign<'a> {
    /// The project that it was made for.
    pub fn project(&self) -> &'a Project {
        self.project
    }

    /// Sizes, margins, outlines and notes.
    pub fn design(&self) -> &Design {
        &self.design
    }

    /// Everything computed, as JSON with the keys that the command line prints with `--json`.
    pub fn document(&self) -> DesignDocument<'_> {
        DesignDocument::new(self.project.spec(), &self.design)
    }

    /// Returns this design without the coupons that no material bears, and looks for a print material that bears all others
    /// if its own does not. A note names what was left out.
    pub fn with_bearable_coupons(&self) -> Result<Self, SizingError> {
        let (coupons, selection) = select_coupons(&self.project.sizer, &self.project.loaded, &self.design)?;
        let mut design = self.design.clone();
        design.coupons = coupons;
        design.notes.extend(selection.note());
        Ok(Self { project: self.project, design, selection })
    }

    /// Makes the closed, checked and meshed parts, on all cores.
    pub fn parts(&self, outputs: Outputs) -> Result<Parts, PartError> {
        solids::parts(&self.design, outputs, self.project.spec().printer.least_wall_mm)
    }

    /// Encodes parts of this design as files: STEP, STL, 3MF, pictures, card, lists and the design document.
    pub fn files(&self, parts: &Parts, options: &FileOptions) -> Result<DesignFiles, OutputError> {
        self.files_with_mould(parts, options, None)
    }

    /// Encodes parts as [`ProjectDesign::files`] does, with a report that tells of their mould as well.
    pub fn files_with_mould(
        &self,
        parts: &Parts,
        options: &FileOptions,
        mould: Option<&MouldPlan>,
    ) -> Result<DesignFiles, OutputError> {
        let project = self.project;
        let warnings: Vec<String> = project.warnings().iter().map(|warning| warning.message.clone()).collect();
        let context = ReportContext {
            parts,
            spec_text: project.source().text(),
            named_files: &project.named_files,
            warnings: &warnings,
            mould,
        };
        let source = DesignParts { parts, options, report: &context };
        design_files(&project.sizer, project.spec(), &self.design, &self.selection, source)
    }

    /// Plans the mould in which the holders are cast: masters, vents, box, batches and clock.
    pub fn mould(&self) -> Result<MouldPlan, MouldError> {
        mould_plan(&self.project.loaded, &self.design)
    }

    /// Encodes a mould as files: masters and printed parts, the bench sheet and the document.
    pub fn mould_files(&self, plan: &MouldPlan, unix_seconds: u32) -> Result<MouldFiles, OutputError> {
        mould_files(&self.project.loaded, &self.project.named_files, &self.design, plan, unix_seconds)
    }

    /// Returns a blank trials sheet as CSV: a row for each coupon and tool that it is meant for.
    pub fn trials_sheet(&self) -> String {
        trials_sheet(&self.design)
    }

    /// Sizes and tools that the rows of a trials file may name.
    pub fn trial_targets(&self) -> Vec<TrialTarget> {
        calibration_run::tried_sizes(self.project.spec(), &self.design)
    }

    /// Reads a trials file, CSV or TOML by the end of its name. `file` is its path as messages show it.
    pub fn read_trials(&self, bytes: &[u8], file: &str) -> Result<Trials, Problems> {
        read_trials(bytes, file, &self.trial_targets()).map_err(|found| Problems::in_bytes(found, bytes))
    }

    /// All parts that trials of this design depend on: those of the spec and the coupons.
    pub fn calibration_origin(&self) -> Vec<CalibrationOrigin> {
        calibration_origin::design_origin(self.project.spec(), &self.design)
    }

    /// Fits the printing process to the rows of all rounds. To be called on [`Project::design_without_trials`].
    pub fn calibrate(&self, rounds: Vec<TrialRound>) -> Result<CalibrationRun, Problems> {
        calibration_run::calibrate(&self.project.loaded, &self.design, rounds)
    }

    /// Returns the calibration as a TOML file called `file_name`, and its figures, whose names begin with `stem`.
    pub fn calibration_files(&self, run: &CalibrationRun, file_name: &str, stem: &str) -> Vec<OutputFile> {
        calibration_document::calibration_files(self.project.spec(), &self.design, run, file_name, stem)
    }

    /// Returns the report of a calibration as a page called `{stem}-report.html`. `refusal` says why the spec has no design
    /// with it.
    pub fn calibration_report(&self, run: &CalibrationRun, stem: &str, refusal: Option<&str>) -> OutputFile {
        let context = CalibrationContext {
            spec: self.project.spec(),
            design: &self.design,
            run,
            document: self.calibration_document(run, &[]),
            measure: self.next_measurement(run),
            person: self.person_sentences(run),
            sources: source_texts(self.project.source().text(), &self.project.named_files),
            refusal,
        };
        calibration_report(stem, context)
    }

    /// Returns the JSON document of a calibration. `files` are the paths that were written.
    pub fn calibration_document(&self, run: &CalibrationRun, files: &[String]) -> Value {
        calibration_document::calibration_document(self.project.spec(), &self.design, run, files)
    }

    /// Returns a sentence on the measurement that would narrow stiffness and friction most; `None` when enough is known.
    pub fn next_measurement(&self, run: &CalibrationRun) -> Option<String> {
        next_measurement::sentence(run.after.next_measurement.as_ref(), self.project.spec(), &self.design)
    }

    /// Sizes the spec with what a calibration found, as `make` will: the refusal, if there is no such design.
    pub fn refusal_of(&self, run: &CalibrationRun) -> Option<SizingError> {
        size_spec(&self.project.sizer, &self.project.loaded, Some(&run.calibration)).err()
    }

    /// Returns sentences on the person who tried the coupons: what is called good, and where a limit stands against it.
    pub fn person_sentences(&self, run: &CalibrationRun) -> Vec<String> {
        calibration_person::sentences(&run.after)
    }

    /// Returns the plate of at most `most` coupons that teaches most after the rounds of the project's calibration. To
    /// be called on [`Project::design_without_trials`].
    pub fn next_plate(&self, most: usize) -> Result<NextPlate, Problems> {
        let rounds = self.project.calibration().map_or(&[][..], |calibration| &calibration.rounds);
        calibration_run::next_plate(&self.project.loaded, &self.design, rounds, most)
    }

    /// Returns the JSON entry of a proposed plate.
    pub fn plate_document(&self, plate: &NextPlate) -> Value {
        calibration_document::plate_document(&|size| calibration_run::size_letter(&self.design, size), plate)
    }

    /// Returns this design with the coupons of a proposed plate in place of its own.
    pub fn with_plate(&self, plate: &NextPlate) -> Result<Self, SizingError> {
        let mut changed = self.clone();
        changed.design.coupons = calibration_run::plate_coupons(&self.project.loaded, &self.design, plate)?;
        Ok(changed)
    }
}
