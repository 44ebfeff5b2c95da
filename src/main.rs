//! The page: mounts the root component where index.html has its root element.

mod browser;
mod ui;

/// A third of the default allocator's bytes, and as quick.
#[global_allocator]
static MEMORY: rlsf::SmallGlobalTlsf = rlsf::SmallGlobalTlsf::new();

/// Reads the desk, then draws it, each in a task of its own: no finger waits for the whole start.
fn main() {
    browser::crash::watch();
    soon(|| {
        let opened = ui::Opened::now();
        soon(|| {
            if let Some(root) = browser::page_root() {
                yew::Renderer::<ui::Page>::with_root_and_props(root, opened).render();
            }
        });
    });
}

fn soon(task: impl FnOnce() + 'static) {
    gloo::timers::callback::Timeout::new(0, task).forget();
}
