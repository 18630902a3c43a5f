//! The part in a view that turns, with a still picture for paper and for browsers without one.

use std::fmt::Write;

use base64::{Engine, engine::general_purpose::STANDARD};

use crate::{
    markup::escaped,
    scene::{SceneGroup, SceneKind},
};

/// Views from fixed directions, by the names that the script knows.
const VIEWS: [(&str, &str); 5] = [
    ("corner", "from a corner"),
    ("along", "along the body"),
    ("side", "from the side"),
    ("above", "into the mouths"),
    ("below", "into the mount"),
];

/// A still picture, as a PNG file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StillPicture {
    /// What it shows.
    pub words: String,
    /// Bytes of the file.
    pub png: Vec<u8>,
}

/// View and still picture as HTML; empty without both.
pub(crate) fn view_section(scene: &[SceneGroup], still: Option<&StillPicture>) -> String {
    let mut out = if scene.is_empty() { String::new() } else { viewer(scene) };
    if let Some(StillPicture { words, png }) = still {
        let _ = writeln!(
            out,
            "<p class=\"still-picture\"><img class=\"still\" alt=\"{}\" src=\"data:image/png;base64,{}\"/></p>",
            escaped(words),
            STANDARD.encode(png)
        );
    }
    out
}

fn viewer(scene: &[SceneGroup]) -> String {
    let mut out = String::from(
        "<div class=\"viewer\" id=\"viewer\" hidden=\"hidden\">\n<p class=\"control\"><label>Show <select data-group=\"\"><option value=\"all\">all parts</option>",
    );
    for group in scene {
        let letter = escaped(&group.letter);
        let _ = write!(out, "<option value=\"{letter}\">{letter}: {}</option>", escaped(&group.words));
    }
    out.push_str("</select></label></p>\n");
    out.push_str("<p class=\"control\" role=\"group\" aria-label=\"View\">");
    for (name, words) in VIEWS {
        let _ = write!(out, "<button type=\"button\" data-view=\"{name}\">{words}</button> ");
    }
    out.push_str("</p>\n<p class=\"control\">");
    for (kind, words) in [(SceneKind::Tool, "tool"), (SceneKind::Body, "body"), (SceneKind::KeepOut, "keep-outs")] {
        if scene.iter().flat_map(|group| &group.meshes).any(|mesh| mesh.kind == kind) {
            let key = kind.word();
            let _ = write!(
                out,
                "<label><input type=\"checkbox\" data-kind=\"{key}\" checked=\"checked\"/> {words}</label> "
            );
        }
    }
    out.push_str(
        "<label>Cut <select data-plane=\"\"><option value=\"\">nothing</option><option value=\"x\">across (x)</option><option \
         value=\"y\">away from the body (y)</option><option value=\"z\">along the body (z)</option></select></label> <label \
         class=\"share\">at <input type=\"range\" data-share=\"\" min=\"0\" max=\"100\" value=\"50\" disabled=\"disabled\"/></label></p>\n\
         <div class=\"stage\"><canvas tabindex=\"0\" role=\"img\" aria-label=\"The part. Arrow keys turn it, with shift they move it; plus \
         and minus zoom; 0 to 4 choose a view.\"></canvas><div class=\"letters\" aria-hidden=\"true\"></div></div>\n<p class=\"soft\">Drag or \
         arrow keys turn, two fingers or shift move, two fingers, + and \u{2212} or the wheel after a click zoom; keys 0 to 4 are the \
         views above. Cut faces are hatched.</p>\n</div>\n",
    );
    out
}
