/* The search of this site is a worker, and browsers start none for a page that lies in a folder. There it runs in a
   frame that nobody sees: what is sent to it, and what it sends, is handed from one window to the other. */
if (location.protocol === "file:") {
  window.Worker = class extends EventTarget {
    constructor(address) {
      super();
      const frame = document.createElement("iframe");
      frame.hidden = true;
      document.body.appendChild(frame);
      const inside = frame.contentWindow;
      const loaded = new Promise((done) => {
        inside.postMessage = (data) => this.dispatchEvent(new MessageEvent("message", { data }));
        const script = frame.contentDocument.createElement("script");
        script.src = address;
        script.onload = done;
        frame.contentDocument.body.appendChild(script);
      });
      this.send = (data) => loaded.then(() => inside.dispatchEvent(new MessageEvent("message", { data })));
    }
    postMessage(data) {
      this.send(data);
    }
  };
}
