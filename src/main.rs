//! The page: mounts the root component where index.html has its root element.

#[allow(dead_code)] // doors the page has yet to open
mod browser;
mod ui;

/// A third of the default allocator's bytes, and as quick.
#[global_allocator]
static MEMORY: rlsf::SmallGlobalTlsf = rlsf::SmallGlobalTlsf::new();

fn main() {
    browser::crash::watch();
    if let Some(root) = browser::page_root() {
        yew::Renderer::<ui::Page>::with_root(root).render();
    }
}
