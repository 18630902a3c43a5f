//! Imports between the modules of one crate, read from its source, and circles among them.
//!
//! An import is a path in a `use` line or in an expression that leads to another module of the crate. A path through a
//! re-export counts as an import of the module that defines the item. Test code does not count.

use std::collections::{BTreeMap, BTreeSet};

use crate::rust_source::{Token, blank_comments_and_literals, group_end, product_tokens};

/// Path of a module from the crate root; empty for the root itself.
type ModulePath = Vec<String>;

/// Depth of re-exports of re-exports that is followed.
const DEEPEST_REEXPORT: usize = 8;

/// One source file of a crate.
#[derive(Clone, Debug)]
pub struct SourceFile {
    /// Path below `src`, with `/`: `step/geometry.rs`.
    pub path: String,
    /// Its text.
    pub text: String,
}

/// One file that imports items of another file of the same crate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Import {
    /// Path of the importing file below `src`.
    pub from: String,
    /// Path of the imported file below `src`.
    pub to: String,
    /// Imported names, sorted.
    pub names: Vec<String>,
}

/// One circle: files that import each other, directly or through others of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Circle {
    /// Paths of the files below `src`, sorted.
    pub files: Vec<String>,
    /// The imports among these files.
    pub imports: Vec<Import>,
}

/// One module with the paths that its code names.
struct Module {
    file: String,
    /// Imported name → path as written, from `use` lines.
    imported_names: BTreeMap<String, ModulePath>,
    /// Modules whose names are all imported, as written.
    globs: Vec<ModulePath>,
    /// Names that the module defines itself.
    defined_names: BTreeSet<String>,
    /// All paths as written.
    paths: Vec<ModulePath>,
}

/// All imports between the files of a crate, sorted.
pub fn imports(files: &[SourceFile]) -> Vec<Import> {
    let modules = read_modules(files);
    let mut found: BTreeMap<(&str, &str), BTreeSet<String>> = BTreeMap::new();
    for (path, module) in &modules {
        for written in &module.paths {
            let Some((target, name)) = resolve(&modules, path, written, DEEPEST_REEXPORT) else { continue };
            if target != *path {
                found.entry((&module.file, &modules[&target].file)).or_default().insert(name);
            }
        }
    }
    let import = |((from, to), names): ((&str, &str), BTreeSet<String>)| Import {
        from: from.to_owned(),
        to: to.to_owned(),
        names: names.into_iter().collect(),
    };
    found.into_iter().map(import).collect()
}

/// All circles among imports: the strongly connected components of more than one file.
pub fn circles(imports: &[Import]) -> Vec<Circle> {
    let files: BTreeSet<&str> = imports.iter().flat_map(|import| [import.from.as_str(), &import.to]).collect();
    let reachable: BTreeMap<&str, BTreeSet<&str>> =
        files.iter().map(|file| (*file, reachable(imports, file))).collect();
    let mut found = Vec::new();
    let mut done = BTreeSet::new();
    for file in &files {
        let in_circle = |other: &&str| reachable[file].contains(other) && reachable[other].contains(file);
        let members: BTreeSet<&str> = files.iter().copied().filter(in_circle).collect();
        if members.len() < 2 || !done.insert(members.clone()) {
            continue;
        }
        let inside = |import: &&Import| members.contains(import.from.as_str()) && members.contains(import.to.as_str());
        found.push(Circle {
            files: members.iter().map(|&file| file.to_owned()).collect(),
            imports: imports.iter().filter(inside).cloned().collect(),
        });
    }
    found
}

/// Files that a file imports, directly or through others.
fn reachable<'a>(imports: &'a [Import], start: &str) -> BTreeSet<&'a str> {
    let mut found = BTreeSet::new();
    let mut open = vec![start];
    while let Some(file) = open.pop() {
        for import in imports.iter().filter(|import| import.from == file) {
            if found.insert(import.to.as_str()) {
                open.push(&import.to);
            }
        }
    }
    found
}

/// Modules by path. Files of test code are left out; `main.rs` beside a library is a module of its own.
fn read_modules(files: &[SourceFile]) -> BTreeMap<ModulePath, Module> {
    let is_library = files.iter().any(|file| file.path == "lib.rs");
    let is_test = |file: &&SourceFile| file.path.split('/').any(|part| part == "tests.rs" || part == "tests");
    let mut modules = BTreeMap::new();
    for file in files.iter().filter(|file| !is_test(file)) {
        let stem = file.path.trim_end_matches(".rs").trim_end_matches("/mod");
        let is_root = stem == "lib" || (stem == "main" && !is_library);
        let path = if is_root { Vec::new() } else { stem.split('/').map(str::to_owned).collect() };
        let code = blank_comments_and_literals(&file.text);
        modules.insert(path, read_module(&file.path, &product_tokens(&code)));
    }
    modules
}

fn read_module(file: &str, tokens: &[Token<'_>]) -> Module {
    const DEFINING: [&str; 8] = ["const", "enum", "fn", "mod", "static", "struct", "trait", "type"];
    let mut module = Module {
        file: file.to_owned(),
        imported_names: BTreeMap::new(),
        globs: Vec::new(),
        defined_names: BTreeSet::new(),
        paths: Vec::new(),
    };
    let mut position = 0;
    while position < tokens.len() {
        if tokens[position].text == "use" {
            let length =
                tokens[position..].iter().position(|token| token.text == ";").unwrap_or(tokens.len() - position);
            for (name, path) in use_tree(&tokens[position + 1..position + length]) {
                module.paths.push(path.clone());
                if name == "*" {
                    module.globs.push(path);
                } else {
                    module.imported_names.insert(name, path);
                }
            }
            position += length;
        } else {
            if DEFINING.contains(&tokens[position].text) {
                module.defined_names.extend(tokens.get(position + 1).map(|token| token.text.to_owned()));
            }
            let path = expression_path(&tokens[position..]);
            position += (2 * path.len()).saturating_sub(1).max(1);
            if path.len() > 1 {
                module.paths.push(path);
            }
        }
    }
    module
}

/// The path `a::b::c` at the start of the tokens; empty if they start with no word.
fn expression_path(tokens: &[Token<'_>]) -> ModulePath {
    let is_word = |token: &Token<'_>| token.text.starts_with(|c: char| c.is_alphabetic() || c == '_');
    let mut path = Vec::new();
    for pair in tokens.chunks(2) {
        if !is_word(&pair[0]) {
            break;
        }
        path.push(pair[0].text.to_owned());
        if pair.get(1).is_none_or(|token| token.text != "::") {
            break;
        }
    }
    path
}

/// Imported names with their full paths, from the tokens between `use` and `;`.
fn use_tree(tokens: &[Token<'_>]) -> Vec<(String, ModulePath)> {
    let mut found = Vec::new();
    let mut prefix = Vec::new();
    let mut position = 0;
    while let Some(token) = tokens.get(position) {
        match token.text {
            "{" => {
                let end = group_end(tokens, position);
                for branch in split_at_commas(&tokens[position + 1..end - 1]) {
                    for (name, path) in use_tree(branch) {
                        let path: ModulePath =
                            prefix.iter().cloned().chain(path).filter(|part| part != "self").collect();
                        let name = if name == "self" { prefix.last().cloned().unwrap_or_default() } else { name };
                        found.push((name, path));
                    }
                }
                return found;
            }
            "as" => {
                let alias = tokens.get(position + 1).map_or("_", |token| token.text);
                found.push((alias.to_owned(), prefix));
                return found;
            }
            "::" => {}
            word => prefix.push(word.to_owned()),
        }
        position += 1;
    }
    found.extend(prefix.last().cloned().map(|name| (name, prefix)));
    found
}

fn split_at_commas<'a, 'b>(tokens: &'a [Token<'b>]) -> Vec<&'a [Token<'b>]> {
    let (mut parts, mut start, mut position) = (Vec::new(), 0, 0);
    while position < tokens.len() {
        match tokens[position].text {
            "{" => position = group_end(tokens, position),
            "," => {
                parts.push(&tokens[start..position]);
                position += 1;
                start = position;
            }
            _ => position += 1,
        }
    }
    parts.push(&tokens[start..]);
    parts.retain(|part| !part.is_empty());
    parts
}

/// The module that defines what a path in module `from` names, and the name there; `None` for other crates.
fn resolve(
    modules: &BTreeMap<ModulePath, Module>,
    from: &ModulePath,
    written: &ModulePath,
    depth: usize,
) -> Option<(ModulePath, String)> {
    let absolute = absolute_path(modules, from, written)?;
    let length = (0..=absolute.len()).rev().find(|&length| modules.contains_key(&absolute[..length]))?;
    let (module, rest) = absolute.split_at(length);
    let name = rest.first().map_or("*", String::as_str);
    let here = (module.to_vec(), name.to_owned());
    let elsewhere = &modules[module];
    if depth == 0 || module == from || elsewhere.defined_names.contains(name) {
        return Some(here);
    }
    let named = elsewhere.imported_names.get(name).cloned();
    let through_globs = elsewhere.globs.iter().map(|glob| {
        let module_part = &glob[..glob.len() - 1];
        module_part.iter().cloned().chain([name.to_owned()]).collect::<ModulePath>()
    });
    let mut found = named.into_iter().chain(through_globs).filter_map(|path| {
        let (target, name) = resolve(modules, &module.to_vec(), &path, depth - 1)?;
        modules[&target].defined_names.contains(&name).then_some((target, name))
    });
    Some(found.next().unwrap_or(here))
}

/// A path from the crate root; `None` if it starts with another crate or with an item of the module itself.
fn absolute_path(
    modules: &BTreeMap<ModulePath, Module>,
    from: &ModulePath,
    written: &ModulePath,
) -> Option<ModulePath> {
    let mut base = match written.first()?.as_str() {
        "crate" => Vec::new(),
        "self" | "super" => from.clone(),
        child => {
            let path: ModulePath = from.iter().cloned().chain([child.to_owned()]).collect();
            return modules.contains_key(&path).then(|| from.iter().chain(written).cloned().collect());
        }
    };
    for _ in written.iter().take_while(|part| *part == "super") {
        base.pop();
    }
    base.extend(written.iter().skip_while(|part| ["crate", "self", "super"].contains(&part.as_str())).cloned());
    Some(base)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn made_up_crate(files: &[(&str, &str)]) -> Vec<Import> {
        let file = |&(path, text): &(&str, &str)| SourceFile { path: path.to_owned(), text: text.to_owned() };
        imports(&files.iter().map(file).collect::<Vec<_>>())
    }

    fn circle_files(files: &[(&str, &str)]) -> Vec<Vec<String>> {
        circles(&made_up_crate(files)).into_iter().map(|circle| circle.files).collect()
    }

    const ROOT: (&str, &str) = ("lib.rs", "mod a;\nmod b;\nmod c;\npub use a::A;\npub use b::B;");

    #[test]
    fn a_tree_has_no_circle() {
        let files = [
            ROOT,
            ("a.rs", "use crate::{B, c::{self, C}};\npub struct A(B, C, c::D);"),
            ("b.rs", "use crate::c::C as Other;\npub struct B(Other);"),
            ("c.rs", "pub struct C;\npub struct D; // not an import: crate::A\nconst TEXT: &str = \"crate::a::A\";"),
        ];
        assert_eq!(circle_files(&files), Vec::<Vec<String>>::new());
        let found = made_up_crate(&files);
        let from_a: Vec<_> = found.iter().filter(|import| import.from == "a.rs").collect();
        assert_eq!(from_a.iter().map(|import| import.to.as_str()).collect::<Vec<_>>(), ["b.rs", "c.rs"]);
        assert_eq!(from_a[1].names, ["*", "C"]);
    }

    #[test]
    fn a_circle_through_a_re_export_is_found() {
        let files = [
            ROOT,
            ("a.rs", "use crate::B;\npub struct A;"),
            ("b.rs", "pub struct B(crate::c::C);"),
            ("c.rs", "pub struct C(super::A);"),
        ];
        assert_eq!(circle_files(&files), [["a.rs", "b.rs", "c.rs"]]);
        let circle = &circles(&made_up_crate(&files))[0];
        let first = Import { from: "a.rs".into(), to: "b.rs".into(), names: vec!["B".into()] };
        assert_eq!((circle.imports.len(), &circle.imports[0]), (3, &first));
    }

    #[test]
    fn a_name_behind_a_glob_belongs_to_the_module_that_defines_it() {
        let root = ("lib.rs", "mod a;\nmod b;\nmod c;\npub use a::*;\npub use b::*;");
        let files =
            [root, ("a.rs", "pub struct A;"), ("b.rs", "use crate::A;\npub struct B(A);"), ("c.rs", "use crate::B;")];
        assert_eq!(circle_files(&files), Vec::<Vec<String>>::new());
        let from_c: Vec<_> = made_up_crate(&files).into_iter().filter(|import| import.from == "c.rs").collect();
        assert_eq!(from_c[0].to, "b.rs");
    }

    #[test]
    fn a_child_and_its_parent_can_form_a_circle() {
        let child = ("a/inner.rs", "use super::Size;\npub fn f(_: Size) {}");
        let files = [ROOT, ("a.rs", "mod inner;\npub struct Size;\nfn g() { inner::f(Size) }"), child];
        assert_eq!(circle_files(&files), [["a.rs", "a/inner.rs"]]);
        let files =
            [ROOT, ("a.rs", "mod inner;\nmod size;\nuse size::Size;"), child, ("a/size.rs", "pub struct Size;")];
        assert_eq!(circle_files(&files), Vec::<Vec<String>>::new());
    }

    #[test]
    fn test_code_does_not_count() {
        let files = [
            ROOT,
            ("a.rs", "use crate::b::B;\npub struct A;"),
            ("b.rs", "pub struct B;\n#[cfg(test)]\nmod tests {\n    use crate::a::A;\n}"),
            ("b/tests.rs", "use crate::a::A;"),
        ];
        assert_eq!(circle_files(&files), Vec::<Vec<String>>::new());
    }
}
