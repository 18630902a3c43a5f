//! Verdict on a refused spec in a few words, before it is explained.

use gripwright_input::Spec;

use crate::pipeline::failure::{Failure, NoDesign};

/// What a spec lacks, each only once.
pub(crate) fn verdict(spec: &Spec, no_design: &NoDesign) -> String {
    let mut lacks: Vec<String> = Vec::new();
    for failure in &no_design.0 {
        let words = lack(spec, failure);
        if !lacks.contains(&words) {
            lacks.push(words);
        }
    }
    lacks.join("; ")
}

fn lack(spec: &Spec, failure: &Failure) -> String {
    let of_tool = |index: usize| spec.tools.get(index).map_or("", |tool| tool.name.as_str());
    match failure {
        Failure::NoClip(no) => format!("no clip serves `{}`", of_tool(no.unserved.tool.index)),
        Failure::NoMount(_) => "no mount serves the body".to_owned(),
        Failure::BodyNotDrawable { .. } | Failure::Taper(_) => "the body has no sound section".to_owned(),
        Failure::Sleeves(_) => "sleeves cannot be made for this layout".to_owned(),
        Failure::Stations(_) => "a station has no room".to_owned(),
        Failure::TooManySizes { .. } => "the family needs too many sizes".to_owned(),
        Failure::SticksInClip { letter, .. } => format!("a tool sticks in size {letter}"),
        Failure::GivesWay { letter, .. } => format!("size {letter} gives way under its loads"),
        Failure::OffAim(off) => format!("`{}` comes to lie off its point", off.row.tool_name),
        Failure::WeakWeb { letter, .. } => format!("the web of size {letter} is too weak"),
        Failure::SoftWeb(soft) => format!("the tool of size {} moves too far", soft.letter),
        Failure::Holder(_) => "the parts of a holder do not go together".to_owned(),
        Failure::KeepOut(blocked) => format!("a keep-out blocks size {}", blocked.letter),
        Failure::Coupons(_) => "the coupons cannot be made".to_owned(),
    }
}
