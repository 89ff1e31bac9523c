// A headless Firefox for the tests that have to hold in a second browser.

import { existsSync } from "node:fs";
import path from "node:path";
import { Builder } from "selenium-webdriver";
import { Options, ServiceBuilder } from "selenium-webdriver/firefox.js";
import { ROOT } from "./harness.mjs";

const FIREFOX = process.env.WETFRAME_FIREFOX ?? "/usr/bin/firefox-esr";

function geckodriver() {
  const places = [process.env.WETFRAME_GECKODRIVER, path.join(ROOT, "target/tools/geckodriver-0.37.0/bin/geckodriver")];
  const found = places.find((place) => place !== undefined && existsSync(place));
  if (found === undefined) throw new Error("geckodriver is missing: `cargo xtask test firefox` installs it");
  return found;
}

/**
 * @returns {Promise<{open: (address: string) => Promise<void>, call: (name: string, ...values: unknown[]) => Promise<any>, close: () => Promise<void>}>}
 *   `call` calls a function of the test page's `page` object and waits for what it returns.
 */
export async function launchFirefox() {
  const options = new Options().setBinary(FIREFOX).addArguments("-headless");
  const driver = await new Builder().forBrowser("firefox").setFirefoxOptions(options)
    .setFirefoxService(new ServiceBuilder(geckodriver())).build();
  await driver.manage().setTimeouts({ script: 120_000 });
  return {
    async open(address) {
      await driver.get(address);
      await driver.wait(() => driver.executeScript("return 'page' in window"), 20_000);
    },
    async call(name, ...values) {
      const { result, error } = await driver.executeAsyncScript((/** @type {any[]} */ ...given) => {
        const done = given.pop();
        const [called, list] = given;
        // @ts-ignore runs in the page
        window.page[called](...list).then((value) => done({ result: value ?? null }), (thrown) => done({ error: `${thrown.message}\n${thrown.stack}` }));
      }, name, values);
      if (error !== undefined) throw new Error(error);
      return result;
    },
    close: () => driver.quit(),
  };
}
