//! Decodes the bytes of a file, within a limit of size.

use crate::read_limits::MAX_FILE_BYTES;
use crate::text::diagnostic::Diagnostic;
use crate::text::source::Source;

/// Decodes the bytes of a file. Refuses files that are too large or not UTF-8.
pub(crate) fn decode_utf8<'a>(bytes: &'a [u8], file: &str) -> Result<&'a str, Box<Diagnostic>> {
    if bytes.len() > MAX_FILE_BYTES {
        return Err(Box::new(too_large(file)));
    }
    std::str::from_utf8(bytes).map_err(|error| {
        let at = error.valid_up_to();
        let valid = String::from_utf8_lossy(bytes.get(..at).unwrap_or_default());
        let byte = bytes.get(at).copied().unwrap_or_default();
        let message = format!("byte {at} of the file, 0x{byte:02x}, is not UTF-8 text");
        let problem = Source::new(file, &valid).diagnostic_at(at..at + 1, "", "not-utf8", message);
        Box::new(problem.with_hint("save the file as UTF-8 in the editor"))
    })
}

pub(crate) fn too_large(file: &str) -> Diagnostic {
    let message = "the file is too long for a spec";
    Source::new(file, "")
        .diagnostic_at(0..0, "", "too-large", message)
        .with_allowed(format!("at most {MAX_FILE_BYTES} bytes"))
        .with_hint("is this the right file?")
}
