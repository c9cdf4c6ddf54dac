// SPDX-License-Identifier: Apache-2.0
export function typesOf(dictionary: unknown): string;
export function keptTypes(): Promise<string>;
