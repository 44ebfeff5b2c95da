//! The page's second module, which does long work in a thread of its own (`background.js`).

use js_sys::{Array, Reflect};
use wasm_bindgen::{JsCast, JsValue, closure::Closure};
use web_sys::{Event, FileList, MessageEvent, Worker};

/// What it tells: a message, and the text that may go with it; `None`: it stopped.
pub type Told = Option<(String, Option<String>)>;

/// The thread; it ends when this is dropped.
pub struct Background {
    worker: Worker,
    _told: Closure<dyn FnMut(MessageEvent)>,
    _stopped: Closure<dyn FnMut(Event)>,
}

impl Background {
    /// Starts the thread; `None` where the browser has no such thing. Whatever it tells goes to `hear`.
    pub fn start(hear: impl Fn(Told) + Clone + 'static) -> Option<Self> {
        // `start.js` makes it, because only its policy may make the address of a script.
        let make = Reflect::get(&js_sys::global(), &"pourcardBackground".into()).ok()?;
        let make: js_sys::Function = make.dyn_into().ok()?;
        let worker: Worker = make.call0(&JsValue::NULL).ok()?.dyn_into().ok()?;
        let stopped = hear.clone();
        let stopped = Closure::new(move |_: Event| stopped(None));
        let told = Closure::new(move |event: MessageEvent| {
            let parts: Array = event.data().unchecked_into();
            let text = parts.get(0).as_string();
            hear(text.map(|text| (text, parts.get(1).as_string())));
        });
        worker.set_onmessage(Some(told.as_ref().unchecked_ref()));
        worker.set_onerror(Some(stopped.as_ref().unchecked_ref()));
        Some(Self {
            worker,
            _told: told,
            _stopped: stopped,
        })
    }

    /// Sends a message, and the text that may go with it; `None` where it cannot be sent.
    pub fn send(&self, message: &str, text: Option<&str>) -> Option<()> {
        let text = text.map_or(JsValue::UNDEFINED, JsValue::from);
        self.worker
            .post_message(&Array::of2(&message.into(), &text))
            .ok()
    }
}

impl Background {
    /// Sends a message, and files that go with it, of one side or the other; `None` where it cannot be sent.
    pub fn send_files(&self, message: &str, files: Option<&FileList>, after: bool) -> Option<()> {
        let files = files.map_or_else(Array::new, |files| Array::from(files.as_ref()));
        let parts = [
            message.into(),
            JsValue::UNDEFINED,
            files.into(),
            after.into(),
        ];
        self.worker
            .post_message(&parts.iter().collect::<Array>())
            .ok()
    }
}

impl Drop for Background {
    fn drop(&mut self) {
        self.worker.terminate();
    }
}
