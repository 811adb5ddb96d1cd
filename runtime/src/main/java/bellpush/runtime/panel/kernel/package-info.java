/**
 * The kernel's system calls through Java's own foreign functions: the one place where pins and buses leave Java. Nothing native is built or
 * unpacked.
 */
package bellpush.runtime.panel.kernel;
