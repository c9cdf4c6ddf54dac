// SPDX-License-Identifier: Apache-2.0
declare module "*?raw" {
  const text: string;
  export default text;
}
declare module "*.css";
