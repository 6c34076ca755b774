//! Files import downward only: no file of a crate imports one that imports it again, by
//! whatever way. A file that knows nothing above it can be read and changed by itself.

use std::{
    collections::{BTreeMap, BTreeSet},
    error::Error,
    fs,
    path::{Path, PathBuf},
};

use syn::{
    Attribute, Item, ItemUse, UseTree, VisRestricted,
    visit::{self, Visit},
};

/// The crates whose files are looked at.
const CRATES: &[&str] = &[
    "notation",
    "commentary",
    "proof",
    "gainsay",
    "draw",
    "files",
    "server",
    "cli",
];

/// The modules of a crate by their paths.
type Files = BTreeMap<Vec<String>, PathBuf>;

/// Which file imports which.
type Imports = BTreeSet<(PathBuf, PathBuf)>;

#[test]
fn files_import_downward_only() -> Result<(), Box<dyn Error>> {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates");
    let mut circles = Vec::new();
    for name in CRATES {
        let source = crates.join(name).join("src");
        let imports = imports(&source)?;
        assert!(imports.len() > 3, "{name} has imports");
        circles.extend(in_circles(&imports).into_iter().map(|(from, to)| {
            let short = |file: &Path| file.strip_prefix(&source).unwrap_or(file).to_owned();
            format!(
                "{name}: {} imports {}",
                short(&from).display(),
                short(&to).display()
            )
        }));
    }
    assert!(
        circles.is_empty(),
        "these files import each other in circles; move what both need into a file below:\n{}",
        circles.join("\n")
    );
    Ok(())
}

#[test]
fn circles_are_found() -> Result<(), Box<dyn Error>> {
    let folder = tempfile::tempdir()?;
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text);
    fs::create_dir(folder.path().join("parts"))?;
    write("lib.rs", "mod below; mod parts; pub use parts::Whole;")?;
    write(
        "below.rs",
        "pub struct Part; #[cfg(test)] mod tests { use crate::parts::Whole; }",
    )?;
    write(
        "parts/mod.rs",
        "mod wheel; use crate::below::Part; pub struct Whole(wheel::Wheel);",
    )?;
    write(
        "parts/wheel.rs",
        "use crate::below; pub struct Wheel(below::Part);",
    )?;
    assert_eq!(in_circles(&imports(folder.path())?), Imports::new());
    for (upward, circle) in [
        ("pub struct Wheel(super::Whole);", 2),
        ("pub struct Wheel(crate::Whole);", 3),
        ("use super::{Whole as All}; pub struct Wheel;", 2),
        (
            "pub struct Wheel; fn all() { let _ = crate::parts::Whole::new(); }",
            2,
        ),
    ] {
        write("parts/wheel.rs", upward)?;
        assert_eq!(
            in_circles(&imports(folder.path())?).len(),
            circle,
            "{upward}"
        );
    }
    Ok(())
}

/// The imports between the files of a crate, those of its tests left out.
fn imports(source: &Path) -> Result<Imports, Box<dyn Error>> {
    let mut files = Files::new();
    let mut folders = vec![(Vec::new(), source.to_owned())];
    while let Some((module, folder)) = folders.pop() {
        for entry in fs::read_dir(&folder)? {
            let path = entry?.path();
            let stem = path
                .file_stem()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned();
            let mut own = module.clone();
            if path.is_dir() {
                own.push(stem);
                folders.push((own, path));
            } else if path.extension().is_some_and(|end| end == "rs") {
                if !matches!(stem.as_str(), "lib" | "main" | "mod") {
                    own.push(stem);
                }
                files.insert(own, path);
            }
        }
    }
    let mut imports = Imports::new();
    for (module, file) in &files {
        if file.file_stem().is_some_and(|stem| stem == "tests") {
            continue;
        }
        let tree = syn::parse_file(&fs::read_to_string(file)?)?;
        let mut paths = Paths {
            files: &files,
            module: module.clone(),
            found: BTreeSet::new(),
        };
        paths.visit_file(&tree);
        for found in paths.found {
            if let Some(other) = files.get(&found).filter(|other| *other != file) {
                imports.insert((file.clone(), other.clone()));
            }
        }
    }
    Ok(imports)
}

/// The imports that are part of a circle: from the imported file others lead back.
fn in_circles(imports: &Imports) -> Imports {
    let leads_back = |(from, to): &&(PathBuf, PathBuf)| {
        let mut seen = BTreeSet::from([to]);
        let mut waiting = vec![to];
        while let Some(file) = waiting.pop() {
            let next = imports.iter().filter(|(own, _)| own == file);
            waiting.extend(
                next.map(|(_, other)| other)
                    .filter(|other| seen.insert(other)),
            );
        }
        seen.contains(from)
    };
    imports.iter().filter(leads_back).cloned().collect()
}

/// Collects the modules that a file names.
struct Paths<'f> {
    files: &'f Files,
    module: Vec<String>,
    found: BTreeSet<Vec<String>>,
}

impl Paths<'_> {
    /// Enters the file in which a path ends, if it is one of the crate.
    fn enter(&mut self, path: &[String]) {
        let mut whole = self.module.clone();
        let mut rest = path.iter();
        match rest.as_slice() {
            [first, ..] if first == "crate" => {
                whole.clear();
                rest.next();
            }
            [first, ..] if first == "self" => {
                rest.next();
            }
            [first, ..] if first == "super" => {
                while rest.as_slice().first().is_some_and(|next| next == "super") {
                    whole.pop();
                    rest.next();
                }
            }
            [first, _, ..] if self.is_child(first) => {}
            _ => return,
        }
        whole.extend(rest.cloned());
        while !self.files.contains_key(&whole) && whole.pop().is_some() {}
        self.found.insert(whole);
    }

    fn is_child(&self, name: &str) -> bool {
        let mut child = self.module.clone();
        child.push(name.to_owned());
        self.files.contains_key(&child)
    }

    fn enter_tree(&mut self, tree: &UseTree) {
        let mut waiting = vec![(Vec::new(), tree)];
        while let Some((mut path, tree)) = waiting.pop() {
            match tree {
                UseTree::Path(part) => {
                    path.push(part.ident.to_string());
                    waiting.push((path, &part.tree));
                }
                UseTree::Name(name) => {
                    path.push(name.ident.to_string());
                    self.enter(&path);
                }
                UseTree::Rename(name) => {
                    path.push(name.ident.to_string());
                    self.enter(&path);
                }
                UseTree::Glob(_) => {
                    path.push("*".to_owned());
                    self.enter(&path);
                }
                UseTree::Group(group) => {
                    waiting.extend(group.items.iter().map(|tree| (path.clone(), tree)));
                }
            }
        }
    }
}

impl<'ast> Visit<'ast> for Paths<'_> {
    fn visit_item(&mut self, item: &'ast Item) {
        let attributes: &[Attribute] = match item {
            Item::Mod(item) => &item.attrs,
            Item::Use(item) => &item.attrs,
            Item::Fn(item) => &item.attrs,
            _ => &[],
        };
        let is_test = |attribute: &Attribute| {
            attribute.path().is_ident("cfg")
                && attribute
                    .parse_args::<syn::Ident>()
                    .is_ok_and(|on| on == "test")
        };
        if !attributes.iter().any(is_test) {
            visit::visit_item(self, item);
        }
    }

    fn visit_item_use(&mut self, item: &'ast ItemUse) {
        self.enter_tree(&item.tree);
    }

    // `pub(super)` imports nothing.
    fn visit_vis_restricted(&mut self, _: &'ast VisRestricted) {}

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let parts: Vec<String> = (path.segments.iter())
            .map(|part| part.ident.to_string())
            .collect();
        self.enter(&parts);
        visit::visit_path(self, path);
    }
}
