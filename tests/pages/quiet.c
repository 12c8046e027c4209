/* Looks at a page's picture (PGM, 8 bits) for the geometry of a code. The code's outermost dark modules lie within
 * the box X0 Y0 X1 Y1.
 *
 *   quiet zone PICTURE X0 Y0 X1 Y1 COLUMNS ACROSS DOWN   how many pixels a module has, where it has COLUMNS in a row;
 *                                     fails where something dark is nearer than ACROSS modules at the sides, DOWN above and below
 *   quiet blot PICTURE X0 Y0 X1 Y1    the picture once more, with a blot in the code
 *   quiet shades PICTURE              fails where the page is not black on white in the main: how much of it is dark, in 1/1000 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int width, height;
static unsigned char *pixels;

static int dark(int x, int y) { return x >= 0 && y >= 0 && x < width && y < height && pixels[y * width + x] < 128; }

static void read_picture(const char *path)
{
    FILE *file = fopen(path, "rb");
    int most = 0;
    if (file == NULL || fscanf(file, "P5 %d %d %d", &width, &height, &most) != 3 || most != 255)
        exit(2);
    fgetc(file);
    pixels = malloc((size_t)width * (size_t)height);
    if (pixels == NULL || fread(pixels, 1, (size_t)width * (size_t)height, file) != (size_t)width * (size_t)height)
        exit(2);
    fclose(file);
}

static int any_dark(int x0, int y0, int x1, int y1)
{
    for (int y = y0; y <= y1; y++) {
        for (int x = x0; x <= x1; x++) {
            if (dark(x, y))
                return 1;
        }
    }
    return 0;
}

int main(int count, char **words)
{
    if (count < 3)
        return 2;
    read_picture(words[2]);
    if (strcmp(words[1], "shades") == 0) {
        long black = 0;
        for (long i = 0; i < (long)width * height; i++)
            black += pixels[i] < 128;
        printf("%ld\n", 1000 * black / ((long)width * height));
        return black == 0;
    }
    if (count < 7)
        return 2;
    int x0 = atoi(words[3]), y0 = atoi(words[4]), x1 = atoi(words[5]), y1 = atoi(words[6]);
    while (x0 < x1 && !any_dark(x0, y0, x0, y1)) x0++;
    while (x1 > x0 && !any_dark(x1, y0, x1, y1)) x1--;
    while (y0 < y1 && !any_dark(x0, y0, x1, y0)) y0++;
    while (y1 > y0 && !any_dark(x0, y1, x1, y1)) y1--;
    if (strcmp(words[1], "blot") == 0) {
        for (int y = y0 + (y1 - y0) * 45 / 100; y < y0 + (y1 - y0) * 65 / 100; y++)
            memset(pixels + y * width + x0 + (x1 - x0) * 45 / 100, 255, (size_t)((x1 - x0) * 20 / 100));
        printf("P5\n%d %d\n255\n", width, height);
        return fwrite(pixels, 1, (size_t)width * (size_t)height, stdout) == 0;
    }
    if (count < 10)
        return 2;
    double module = (x1 - x0 + 1) / atof(words[7]);
    int across = (int)(module * atof(words[8])) - 1, down = (int)(module * atof(words[9])) - 1;
    printf("%.2f\n", module);
    return any_dark(x0 - across, y0 - down, x0 - 1, y1 + down) || any_dark(x1 + 1, y0 - down, x1 + across, y1 + down)
           || any_dark(x0, y0 - down, x1, y0 - 1) || any_dark(x0, y1 + 1, x1, y1 + down);
}
