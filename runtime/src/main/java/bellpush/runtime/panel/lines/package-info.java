/** Pins read and written through the kernel's GPIO character device, version 2 of its interface, without native code of ours. */
package bellpush.runtime.panel.lines;
