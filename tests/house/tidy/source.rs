//! Source files as tokens, and what the rules of the house ask of them.

use std::path::{Path, PathBuf};

use proc_macro2::{Delimiter, TokenStream, TokenTree};

/// Where Cargo.toml is.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// A file under src.
pub struct Source {
    pub path: PathBuf,
    pub text: String,
    tokens: TokenStream,
}

/// Every Rust file under src, sorted by path.
pub fn sources() -> Vec<Source> {
    let mut waiting = vec![root().join("src")];
    let mut found = Vec::new();
    while let Some(path) = waiting.pop() {
        if path.is_dir() {
            waiting.extend(std::fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path()));
        } else if path == root().join("src/stamp.rs") {
            // The build script is no part of the library.
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(Source::read(path));
        }
    }
    found.sort_by(|a, b| a.path.cmp(&b.path));
    assert!(found.len() > 80, "only {} files under src", found.len());
    found
}

impl Source {
    fn read(path: PathBuf) -> Self {
        let text = std::fs::read_to_string(&path).unwrap();
        let tokens = text.parse().unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        Self { path, text, tokens }
    }

    /// `src/room/file.rs`.
    pub fn name(&self) -> String {
        self.relative().display().to_string()
    }

    fn relative(&self) -> &Path {
        self.path.strip_prefix(root()).unwrap()
    }

    /// The module's path below the crate, such as `["cli", "show"]`; empty for lib.rs.
    fn module(&self) -> Vec<String> {
        let inside = self.relative().strip_prefix("src").unwrap().with_extension("");
        let parts = inside.iter().map(|part| part.to_str().unwrap().to_owned());
        parts.filter(|part| part != "lib" && part != "main").collect()
    }

    /// The room, if the file is in one.
    pub fn room(&self) -> Option<&str> {
        let first = self.relative().iter().nth(1)?.to_str()?;
        let room = first.strip_suffix(".rs").unwrap_or(first);
        (room != "lib" && room != "main").then_some(room)
    }

    pub fn is_room_file(&self) -> bool {
        self.name() != "src/lib.rs"
    }

    /// Whether its parent module declares the file under `cfg(test)`.
    pub fn only_for_tests(&self) -> bool {
        let folder = self.path.parent().unwrap().with_extension("rs");
        let stem = self.path.file_stem().unwrap().to_str().unwrap();
        let parent = std::fs::read_to_string(folder).unwrap_or_default();
        parent.contains(&format!("#[cfg(test)]\nmod {stem};"))
    }

    /// Lines and names of what is used under `crate::`, spelled so or by `super`.
    pub fn rooms_used(&self) -> Vec<(usize, String)> {
        let mut used = Vec::new();
        scan_paths(&self.tokens, &mut self.module(), &mut used);
        used
    }

    /// Name, line and length in lines of every function outside test modules.
    pub fn functions(&self) -> Vec<(String, usize, usize)> {
        let mut functions = Vec::new();
        scan_functions(&self.tokens, &mut functions);
        functions
    }

    /// Lines and names of all macros that are called.
    pub fn macros(&self) -> Vec<(usize, String)> {
        let mut found = Vec::new();
        every_stream(&self.tokens, &mut |trees| {
            for pair in trees.windows(2) {
                if let (TokenTree::Ident(name), true) = (&pair[0], is_punct(&pair[1], '!')) {
                    found.push((line(&pair[0]), name.to_string()));
                }
            }
        });
        found
    }

    /// Lines and second words of all paths that begin with `first`, those of a list one by
    /// one.
    pub fn paths_of(&self, first: &str) -> Vec<(usize, String)> {
        let mut found = Vec::new();
        every_stream(&self.tokens, &mut |trees| {
            for (index, tree) in trees.iter().enumerate() {
                if ident(tree).is_some_and(|word| word == first) {
                    let names = heads_after(&trees[index + 1..]);
                    found.extend(names.into_iter().map(|name| (line(tree), name)));
                }
            }
        });
        found
    }
}

fn line(tree: &TokenTree) -> usize {
    tree.span().start().line
}

fn is_punct(tree: &TokenTree, wanted: char) -> bool {
    matches!(tree, TokenTree::Punct(punct) if punct.as_char() == wanted)
}

fn ident(tree: &TokenTree) -> Option<String> {
    match tree {
        TokenTree::Ident(ident) => Some(ident.to_string()),
        _ => None,
    }
}

/// Calls `look` on the stream and on every group inside it.
fn every_stream(stream: &TokenStream, look: &mut impl FnMut(&[TokenTree])) {
    let trees: Vec<TokenTree> = stream.clone().into_iter().collect();
    look(&trees);
    for tree in &trees {
        if let TokenTree::Group(group) = tree {
            every_stream(&group.stream(), look);
        }
    }
}

/// After a path's first word: the next word, or the first word of each in a list.
fn heads_after(rest: &[TokenTree]) -> Vec<String> {
    if rest.len() < 3 || !is_punct(&rest[0], ':') || !is_punct(&rest[1], ':') {
        return Vec::new();
    }
    match &rest[2] {
        TokenTree::Ident(name) => vec![name.to_string()],
        TokenTree::Group(group) if group.delimiter() == Delimiter::Brace => {
            let trees: Vec<TokenTree> = group.stream().into_iter().collect();
            let items = trees.split(|tree| is_punct(tree, ','));
            items.filter_map(|item| ident(item.first()?)).collect()
        }
        // A glob takes everything: no room may do that to the crate.
        _ => vec!["*".to_owned()],
    }
}

/// Paths that begin with `crate` or climb to it by `super`, `module` being where we are.
fn scan_paths(stream: &TokenStream, module: &mut Vec<String>, used: &mut Vec<(usize, String)>) {
    let trees: Vec<TokenTree> = stream.clone().into_iter().collect();
    let mut opens = None;
    let mut index = 0;
    while index < trees.len() {
        let tree = &trees[index];
        match tree {
            TokenTree::Group(group) => {
                let inner: Option<String> = opens.take();
                let depth = module.len();
                module.extend(inner);
                scan_paths(&group.stream(), module, used);
                module.truncate(depth);
            }
            TokenTree::Punct(punct) if punct.as_char() == ';' => opens = None,
            TokenTree::Ident(word) if word == "mod" => {
                opens = trees.get(index + 1).and_then(ident);
                index += 1;
            }
            TokenTree::Ident(word) if word == "crate" => {
                let names = heads_after(&trees[index + 1..]);
                used.extend(names.into_iter().map(|name| (line(tree), name)));
            }
            TokenTree::Ident(word) if word == "super" => {
                let climbed = (0..).take_while(|n| is_super(&trees, index + 3 * n)).count();
                index += 3 * (climbed - 1);
                if climbed == module.len() {
                    let names = heads_after(&trees[index + 1..]);
                    used.extend(names.into_iter().map(|name| (line(tree), name)));
                }
            }
            _ => {}
        }
        index += 1;
    }
}

/// Whether a `super` stands at `index`, one of a chain `super::super::…`.
fn is_super(trees: &[TokenTree], index: usize) -> bool {
    trees.get(index).and_then(ident).is_some_and(|word| word == "super")
}

fn scan_functions(stream: &TokenStream, functions: &mut Vec<(String, usize, usize)>) {
    let trees: Vec<TokenTree> = stream.clone().into_iter().collect();
    let mut skip_test_module = false;
    for (index, tree) in trees.iter().enumerate() {
        match tree {
            TokenTree::Group(group) if group.delimiter() == Delimiter::Bracket => {
                skip_test_module |= group.stream().to_string().replace(' ', "") == "cfg(test)";
            }
            TokenTree::Group(group) => {
                if !skip_test_module {
                    scan_functions(&group.stream(), functions);
                }
                skip_test_module &= group.delimiter() != Delimiter::Brace;
            }
            TokenTree::Punct(punct) if punct.as_char() == ';' => skip_test_module = false,
            TokenTree::Ident(word) if word == "fn" && !skip_test_module => {
                functions.extend(function(&trees[index..]));
            }
            _ => {}
        }
    }
}

/// The function that begins with these trees, unless it has no body or is a type.
fn function(trees: &[TokenTree]) -> Option<(String, usize, usize)> {
    let name = trees.get(1).and_then(ident)?;
    let ends = |tree: &&TokenTree| match tree {
        TokenTree::Group(group) => group.delimiter() == Delimiter::Brace,
        tree => is_punct(tree, ';'),
    };
    let TokenTree::Group(body) = trees.iter().find(ends)? else { return None };
    let (first, last) = (line(&trees[0]), body.span_close().end().line);
    Some((name, first, last - first + 1))
}
